//! Straight lines against certified and published fits. Of the certified linear fits of NIST StRD only Norris is a straight line
//! with an intercept: NoInt1 and NoInt2 are forced through nought, Pontius is of the second degree and Wampler of the fifth.

use crate::measure::Line;
use approx::assert_relative_eq;

// The log of the relative error, as NIST StRD compares: digits that agree.
fn digits(found: f64, certified: f64) -> f64 {
    if found == certified { 15.0 } else { -libm::log10(((found - certified) / certified).abs()) }
}

// NIST StRD, linear least squares, Norris: a calibration of ozone monitors; certified to 15 digits.
const NORRIS: [(f64, f64); 36] = [
    (0.2, 0.1),
    (337.4, 338.8),
    (118.2, 118.1),
    (884.6, 888.0),
    (10.1, 9.2),
    (226.5, 228.1),
    (666.3, 668.5),
    (996.3, 998.5),
    (448.6, 449.1),
    (777.0, 778.9),
    (558.2, 559.2),
    (0.4, 0.3),
    (0.6, 0.1),
    (775.5, 778.1),
    (666.9, 668.8),
    (338.0, 339.3),
    (447.5, 448.9),
    (11.6, 10.8),
    (556.0, 557.7),
    (228.1, 228.3),
    (995.8, 998.0),
    (887.6, 888.8),
    (120.2, 119.6),
    (0.3, 0.3),
    (0.3, 0.6),
    (556.8, 557.6),
    (339.1, 339.3),
    (887.2, 888.0),
    (999.0, 998.5),
    (779.0, 778.9),
    (11.1, 10.2),
    (118.3, 117.6),
    (229.2, 228.9),
    (669.1, 668.4),
    (448.9, 449.2),
    (0.5, 0.2),
];

#[test]
fn norris_keeps_the_certified_digits() {
    let (x, y): (Vec<f64>, Vec<f64>) = NORRIS.into_iter().unzip();
    let line = Line::through(&x, &y).unwrap();
    // The readings themselves are rounded to binary, which moves the small intercept by a unit of its 14th digit.
    assert!(digits(line.slope, 1.002_116_818_020_45) >= 14.0, "{}", line.slope);
    assert!(digits(line.intercept(), -0.262_323_073_774_029) >= 12.5, "{}", line.intercept());
    assert!(digits(line.of_slope, 0.429_796_848_199_937e-3) >= 13.5, "{}", line.of_slope);
    assert!(digits(line.of_intercept(), 0.232_818_234_301_152) >= 13.5, "{}", line.of_intercept());
    assert!(digits(line.deviation(), 0.884_796_396_144_373) >= 13.5, "{}", line.deviation());
    assert_eq!(line.degrees, 34.0);
}

// The same certified values hold for the readings moved far from nought, but for what the moved readings lose in binary.
#[test]
fn readings_that_agree_in_many_digits_keep_theirs() {
    let x: Vec<f64> = NORRIS.iter().map(|(x, _)| x + 1e6).collect();
    let y: Vec<f64> = NORRIS.iter().map(|(_, y)| y + 1e6).collect();
    let line = Line::through(&x, &y).unwrap();
    assert!(digits(line.slope, 1.002_116_818_020_45) >= 11.0, "{}", line.slope);
    assert!(digits(line.deviation(), 0.884_796_396_144_373) >= 9.0, "{}", line.deviation());
}

// JCGM 100:2008 H.3, table H.6: the calibration of a thermometer, about 20 °C (figures from memory; they close on the data).
#[test]
fn the_thermometer_of_the_guide_is_calibrated_as_printed() {
    let t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511];
    let b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160];
    let x: Vec<f64> = t.iter().map(|t| t - 20.0).collect();
    let line = Line::through(&x, &b).unwrap();
    for (found, printed, half) in [
        (line.intercept(), -0.1712, 0.00005),
        (line.of_intercept(), 0.0029, 0.00005),
        (line.slope, 0.00218, 0.000005),
        (line.of_slope, 0.00067, 0.000005),
        (line.correlation(), -0.930, 0.0005),
        (line.deviation(), 0.0035, 0.00005),
        (line.at(10.0).0, -0.1494, 0.00005),
        (line.at(10.0).1, 0.0041, 0.00005),
    ] {
        assert!((found - printed).abs() <= half, "{found}, printed {printed}");
    }
    assert_eq!(line.degrees, 9.0);
    // More digits, from exact rationals by another program.
    assert_relative_eq!(line.correlation(), -0.930_429_603_1, max_relative = 1e-9);
    assert_relative_eq!(line.at(10.0).1, 0.004_138_595_753, max_relative = 1e-9);
    // One new reading there scatters about the line besides.
    assert_relative_eq!(line.reading(10.0).1, libm::hypot(0.004_138_595_753, 0.003_497_563_964), max_relative = 1e-9);
}

// K. Pearson's points with D. York's weights (Canadian Journal of Physics 44 (1966) 1079), fitted in York et al. 2004; data
// and results from memory.
const PEARSON: [(f64, f64, f64, f64); 10] = [
    (0.0, 5.9, 1000.0, 1.0),
    (0.9, 5.4, 1000.0, 1.8),
    (1.8, 4.4, 500.0, 4.0),
    (2.6, 4.6, 800.0, 8.0),
    (3.3, 3.5, 200.0, 20.0),
    (4.4, 3.7, 80.0, 20.0),
    (5.2, 2.8, 60.0, 70.0),
    (6.1, 2.8, 20.0, 70.0),
    (6.5, 2.4, 1.8, 100.0),
    (7.4, 1.5, 1.0, 500.0),
];

fn columns() -> [Vec<f64>; 4] {
    let doubt = |weight: f64| 1.0 / libm::sqrt(weight);
    [
        PEARSON.iter().map(|row| row.0).collect(),
        PEARSON.iter().map(|row| row.1).collect(),
        PEARSON.iter().map(|row| doubt(row.2)).collect(),
        PEARSON.iter().map(|row| doubt(row.3)).collect(),
    ]
}

#[test]
fn pearsons_points_with_yorks_weights_give_the_published_line() {
    let [x, y, of_x, of_y] = columns();
    let line = Line::between(&x, &y, &of_x, &of_y).unwrap();
    assert_relative_eq!(line.slope, -0.480_533_407, epsilon = 5e-9);
    assert_relative_eq!(line.intercept(), 5.479_910_22, epsilon = 5e-8);
    assert_relative_eq!(line.of_slope, 0.057_985, epsilon = 5e-6);
    assert_relative_eq!(line.of_intercept(), 0.294_97, epsilon = 5e-5);
    assert_relative_eq!(line.squares, 11.866_353, epsilon = 5e-6);
    assert_relative_eq!(line.deviation() * line.deviation(), 1.483_3, epsilon = 5e-5);
}

#[test]
fn the_line_with_doubt_in_both_does_not_know_which_is_which() {
    let [x, y, of_x, of_y] = columns();
    let one = Line::between(&x, &y, &of_x, &of_y).unwrap();
    let other = Line::between(&y, &x, &of_y, &of_x).unwrap();
    assert_relative_eq!(one.slope, 1.0 / other.slope, max_relative = 1e-12);
    assert_relative_eq!(one.squares, other.squares, max_relative = 1e-12);
}

#[test]
fn without_doubt_in_x_it_is_the_weighted_fit_and_with_equal_doubts_the_plain_one() {
    let [x, y, _, of_y] = columns();
    let none = vec![0.0; x.len()];
    let (both, weighted) = (Line::between(&x, &y, &none, &of_y).unwrap(), Line::weighted(&x, &y, &of_y).unwrap());
    assert_relative_eq!(both.slope, weighted.slope, max_relative = 1e-13);
    assert_relative_eq!(both.of_slope, weighted.of_slope, max_relative = 1e-13);
    assert_relative_eq!(both.of_intercept(), weighted.of_intercept(), max_relative = 1e-13);
    let (equal, plain) = (Line::weighted(&x, &y, &[0.3; 10]).unwrap(), Line::through(&x, &y).unwrap());
    assert_relative_eq!(equal.slope, plain.slope, max_relative = 1e-13);
    assert_relative_eq!(equal.of_slope / 0.3, plain.of_slope / plain.deviation(), max_relative = 1e-13);
}

// With one ratio of the two doubts at all points the slope has a closed form (W. E. Deming, Statistical Adjustment of Data,
// 1943): the root of b² Sxy - b (Syy - d Sxx) - d Sxy, d = u(y)²/u(x)².
#[test]
fn equal_doubts_in_both_give_demings_closed_form() {
    let [x, y, ..] = columns();
    for ratio in [0.25_f64, 1.0, 7.0] {
        let line = Line::between(&x, &y, &[0.2; 10], &[0.2 * ratio.sqrt(); 10]).unwrap();
        let (mx, my) = (x.iter().sum::<f64>() / 10.0, y.iter().sum::<f64>() / 10.0);
        let sum = |f: &dyn Fn(f64, f64) -> f64| x.iter().zip(&y).map(|(x, y)| f(x - mx, y - my)).sum::<f64>();
        let (sxx, syy, sxy) = (sum(&|x, _| x * x), sum(&|_, y| y * y), sum(&|x, y| x * y));
        let apart = syy - ratio * sxx;
        let deming = (apart + libm::sqrt(apart * apart + 4.0 * ratio * sxy * sxy)) / (2.0 * sxy);
        assert_relative_eq!(line.slope, deming, max_relative = 1e-12);
    }
}

#[test]
fn no_line_goes_through_too_little() {
    assert_eq!(Line::through(&[1.0, 2.0], &[1.0, 2.0]), None);
    assert_eq!(Line::through(&[2.0; 4], &[1.0, 2.0, 3.0, 4.0]), None);
    assert_eq!(Line::through(&[1.0, 2.0, 3.0], &[1.0, 2.0]), None);
    assert_eq!(Line::through(&[1.0, 2.0, 3.0], &[1.0, f64::NAN, 2.0]), None);
    assert_eq!(Line::weighted(&[1.0, 2.0, 3.0], &[1.0, 2.0, 4.0], &[0.1, 0.0, 0.1]), None);
    assert_eq!(Line::between(&[1.0, 2.0, 3.0], &[1.0, 2.0, 4.0], &[0.0; 3], &[0.1, 0.0, 0.1]), None);
}
