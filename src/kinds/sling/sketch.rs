//! The sketch of a sling: legs at their true angles from hook to picks, the load below, the pull in each leg.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Point, Shape, Weight};
use crate::words::say;
use core::f64::consts::{FRAC_PI_2, PI};

/// Draws the sling from its angles, or from its picks.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let hook = point(320.0, 110.0);
    let picks = picks(figures, hook);
    let forces = [figures.value("load"), figures.value("weight"), figures.item("leg", 1), figures.item("leg", 2)];
    let mut board = DrawingBoard::new(&forces);
    board.circle(point(hook.x, hook.y - 8.0), 8.0, Weight::Medium, Ink::Body, false);
    board.keep_off(hook.x - 10.0, hook.y - 18.0, 20.0, 18.0);
    let load = [figures.printed("load"), figures.printed("weight")];
    board.force(point(hook.x, hook.y - 16.0), (0.0, -1.0), true, figures.value("load"), (say!("load"), &load[0]), Ink::Reaction);
    let low = picks.iter().map(|p| p.y).fold(hook.y, f64::max);
    let (left, right) = (picks.iter().map(|p| p.x).fold(hook.x, f64::min), picks.iter().map(|p| p.x).fold(hook.x, f64::max));
    let floor = low + 56.0;
    // The load: its upper edge runs from pick to pick.
    let (first, last) = (picks.first().copied().unwrap_or(hook), picks.last().copied().unwrap_or(hook));
    let over = if right - left < 60.0 { 30.0 } else { 14.0 };
    let body = [
        point(left - over, first.y),
        point(first.x, first.y),
        point(last.x, last.y),
        point(right + over, last.y),
        point(right + over, floor),
        point(left - over, floor),
    ];
    board.line(&body, Weight::Heavy, Ink::Body, true);
    board.keep_off(left - over, low, right - left + 2.0 * over, floor - low);
    board.centre_line(hook, point(hook.x, floor - 20.0));
    for (number, pick) in picks.iter().enumerate() {
        board.line(&[hook, *pick], Weight::Heavy, Ink::Rope, false);
        board.circle(*pick, 3.0, Weight::Medium, Ink::Body, true);
        let length = libm::hypot(hook.x - pick.x, hook.y - pick.y).max(1e-9);
        let along = ((hook.x - pick.x) / length, (hook.y - pick.y) / length);
        board.force(*pick, along, true, figures.item("leg", number + 1), ("", ""), Ink::Force);
        let aside = if pick.x < hook.x { -1.0 } else { 1.0 };
        let beside = point((pick.x + hook.x) / 2.0 + aside * 62.0, (pick.y + hook.y) / 2.0 - 24.0);
        board.named(beside, &say!("leg {number}", number = number + 1), &figures.printed_item("leg", number + 1), Ink::Force);
    }
    let mass = point(hook.x, floor - 20.0);
    board.circle(mass, 4.0, Weight::Light, Ink::Body, true);
    board.force(point(hook.x, floor), (0.0, 1.0), true, figures.value("weight"), (say!("weight"), &load[1]), Ink::Force);
    let rise = libm::atan2(first.y - hook.y, hook.x - first.x) * 180.0 / PI;
    if rise < 88.0 {
        board.add(Shape::Arc { centre: first, radius: 34.0, from: -rise, to: 0.0, weight: Weight::Light, ink: Ink::Construction });
    }
    let angle = point(first.x + 34.0 * libm::cos(rise * PI / 360.0), first.y - 34.0 * libm::sin(rise * PI / 360.0));
    board.names_line((first, angle), point(first.x - 74.0, first.y - 16.0), say!("from the level"), &figures.printed("flattest"), Ink::Construction);
    board.names(last, point(right + 74.0, last.y - 20.0), say!("inward, at each pick"), &figures.printed("inward"), Ink::Construction);
    let (legs, carrying) = (figures.value("legs").unwrap_or(2.0), figures.value("carrying").unwrap_or(2.0));
    if legs > picks.len() as f64 {
        let words = say!("{legs} legs, {carrying} counted, {drawn} drawn", legs = legs, carrying = carrying, drawn = picks.len());
        board.named(point(left - 20.0, floor + 30.0), &words, "", Ink::Construction);
    }
    let mut text = spoken(figures, say!("Weight"), "weight") + &spoken(figures, say!("Pull on the hook"), "load");
    for leg in 1..=figures.count("leg") {
        text += &say!(" Leg {leg}: {force}.", leg = leg, force = figures.printed_item("leg", leg));
    }
    text += &spoken(figures, say!("Flattest leg from the level"), "flattest");
    text += &spoken(figures, say!("Pull inward at each pick"), "inward");
    board.finish(say!("Sling").to_owned(), text)
}

/// Where the legs end, left to right: at most two of them.
fn picks(figures: &dyn Figures, hook: Point) -> Vec<Point> {
    let known = |name: &str| figures.value(name).filter(|v| v.is_finite() && *v >= 0.0);
    if let (Some(first), Some(second), Some(high), Some(other)) =
        (known("first_pick"), known("second_pick"), known("first_height"), known("other_height"))
    {
        let scale = (400.0 / (first + second).max(1e-9)).min(170.0 / high.max(other).max(1e-9));
        let scale = scale.min(220.0 / first.max(second).max(1e-9));
        return vec![point(hook.x - first * scale, hook.y + high * scale), point(hook.x + second * scale, hook.y + other * scale)];
    }
    let lean = known("lean").unwrap_or(PI / 3.0).clamp(0.05, FRAC_PI_2);
    let (sine, cosine) = (libm::sin(lean), libm::cos(lean).max(1e-9));
    let length = (170.0 / sine).min(200.0 / cosine);
    let right = point(hook.x + length * cosine, hook.y + length * sine);
    if figures.value("legs").is_some_and(|legs| legs < 2.0) {
        return vec![right];
    }
    vec![point(hook.x - length * cosine, right.y), right]
}

/// The load, hung in the legs.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let mut load = Cut::free(say!("the load"), figures);
    let legs = figures.count("leg");
    let body = [point(-90.0, 0.0), point(90.0, 0.0), point(90.0, 50.0), point(-90.0, 50.0)];
    load.outline(&body, true);
    let unequal = figures.choice("arrangement") == Some("two unequal legs");
    let leans = if unequal { (figures.value("first_lean")?, figures.value("second_lean")?) } else { (figures.value("lean")?, figures.value("lean")?) };
    let spread = (figures.value("first_pick").unwrap_or(1.0), figures.value("second_pick").unwrap_or(1.0));
    let scale = 160.0 / (spread.0 + spread.1).max(1e-9);
    // The load hangs with its middle below the hook.
    let mut under = 0.0;
    if legs == 2 {
        under = -80.0 + spread.0 * scale;
        // The words of a leg that is not steep stand outside it: beyond its arrow they would be over the other.
        load.item_pulls("leg", 1, say!("the first leg"), point(-80.0, 0.0), (libm::cos(leans.0), -libm::sin(leans.0)));
        if leans.0 < 1.3 {
            load.words_at(point(-116.0, -34.0));
        }
        load.item_pulls("leg", 2, say!("the second leg"), point(80.0, 0.0), (-libm::cos(leans.1), -libm::sin(leans.1)));
        if leans.1 < 1.3 {
            load.words_at(point(116.0, -34.0));
        }
    } else {
        for leg in 1..=legs {
            let share = if legs > 1 { (leg as f64 - 1.0) / (legs as f64 - 1.0) * 2.0 - 1.0 } else { 0.0 };
            load.item_pulls("plumb", leg, say!("the leg, its upward part"), point(80.0 * share, 0.0), (0.0, -1.0));
        }
        if legs > 1 {
            load.note(say!("The level pulls of the legs lie all round and cancel."));
        }
    }
    load.pulls("weight", say!("gravity"), point(under, 25.0), (0.0, 1.0));
    Some(load)
}
