//! The draughtsman's vocabulary: shapes on a sheet, without a thought of how they are printed.
//!
//! Lengths are in drawing units, x to the right and y **down**; 1 unit is 1 px on screen and 0.25 mm in print. A
//! drawing is about 640 wide at most, so that it reads at 320.

/// A point of a drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Down.
    pub y: f64,
}

/// Line weights in the ratio 4 : 2 : 1 of ISO 128.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// Outline, rope and force.
    Heavy,
    /// Edges.
    Medium,
    /// Dimensions, hatching, centre lines.
    Light,
}

/// What a line stands for: one meaning a colour, one style a meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// Bodies and edges.
    Body,
    /// Rope.
    Rope,
    /// An applied force, with a solid head.
    Force,
    /// A reaction, with an open head.
    Reaction,
    /// Resistance and loss.
    Loss,
    /// Dimensions, construction, hatching.
    Construction,
}

/// Which side of its point a label stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// The text starts at the point.
    Start,
    /// The text is centred on the point.
    Middle,
    /// The text ends at the point.
    End,
}

/// A shape.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A run of straight lines; `closed` joins the last point to the first.
    Path { points: Vec<Point>, closed: bool, filled: bool, weight: Weight, ink: Ink, dashed: bool },
    /// A circle.
    Circle { centre: Point, radius: f64, filled: bool, weight: Weight, ink: Ink },
    /// Part of a circle, from one angle to another in degrees, clockwise from the x axis as y points down.
    Arc { centre: Point, radius: f64, from: f64, to: f64, weight: Weight, ink: Ink },
    /// A fixed surface from one point to another, hatched on the side to the right of the way.
    Ground { from: Point, to: Point },
    /// A force: the arrow ends (its head) at `to`. Drawn with the ink of an applied force or a reaction.
    Arrow { from: Point, to: Point, ink: Ink },
    /// A dimension: line with filled heads between two points, its text in the middle, extension lines from the
    /// measured points.
    Dimension { from: Point, to: Point, offset: f64, text: String },
    /// Text; `symbol` sets it in italics as a quantity.
    Label { at: Point, text: String, anchor: Anchor, symbol: bool, ink: Ink },
    /// From what words name to the words, where they stand away from it.
    Leader { from: Point, to: Point },
    /// The number of a rope part, in a small circle.
    PartNumber { at: Point, number: usize },
    /// The scale of the force arrows: a bar of `length` that stands for `text`.
    ScaleBar { at: Point, length: f64, text: String },
}

/// A finished drawing with the words that say the same.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Width in drawing units.
    pub width: f64,
    /// Height in drawing units.
    pub height: f64,
    /// The shapes, back to front.
    pub shapes: Vec<Shape>,
    /// One line that names it.
    pub title: String,
    /// What it shows besides, in sentences made from the same numbers: after the title they are its text equivalent.
    pub description: String,
    /// How many newtons one drawing unit of a force stands for; none where no force is drawn to scale.
    pub newtons: Option<f64>,
}

/// A force on a body that was cut free.
#[derive(Debug, Clone, PartialEq)]
pub struct Acting {
    /// The sheet's name of it, as it is set in print.
    pub symbol: String,
    /// Its size as printed, with its unit.
    pub printed: String,
    /// What exerts it.
    pub giver: String,
    /// Its part to the right, in newtons.
    pub right: f64,
    /// Its part upward, in newtons.
    pub up: f64,
}

/// A couple on a body that was cut free.
#[derive(Debug, Clone, PartialEq)]
pub struct Turning {
    /// The sheet's name of it, as it is set in print.
    pub symbol: String,
    /// Its size as printed, with its unit.
    pub printed: String,
    /// What exerts it.
    pub giver: String,
    /// Against the clock, in newton metres.
    pub against_clock: f64,
}

/// A body cut free, with everything that acts on it.
#[derive(Debug, Clone, PartialEq)]
pub struct FreeBody {
    /// The forces; they leave nothing over.
    pub forces: Vec<Acting>,
    /// The couples about one axis, where the drawing looks along it; they leave nothing over.
    pub couples: Vec<Turning>,
    /// Its drawing.
    pub drawing: Drawing,
}

/// The numbers of one machine as the sketch sees them: values in coherent SI units and the words printed for them.
pub trait Figures {
    /// The value of a scalar field, relation or node, in SI units; none when it is not known.
    fn value(&self, name: &str) -> Option<f64>;
    /// The value of an item of a list, counted from 1.
    fn item(&self, name: &str, index: usize) -> Option<f64>;
    /// How many items a list has.
    fn count(&self, name: &str) -> usize;
    /// What was chosen for an option.
    fn choice(&self, name: &str) -> Option<&str>;
    /// The value as printed, with its unit: `2.41 kN`. Empty when it is not known.
    fn printed(&self, name: &str) -> String;
    /// The item of a list as printed.
    fn printed_item(&self, name: &str, index: usize) -> String;
}
