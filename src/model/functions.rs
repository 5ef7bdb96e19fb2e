//! The functions of the language: names, and what they make of the quantities they are given.

use crate::model::quantity::Quantity;

/// A function.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Function {
    /// Square root.
    Sqrt,
    /// Absolute value.
    Abs,
    /// Least of its arguments, or of a list.
    Min,
    /// Greatest of its arguments, or of a list.
    Max,
    /// e to the power of a number or an angle in radians.
    Exp,
    /// Natural logarithm.
    Ln,
    /// Sine of an angle.
    Sin,
    /// Cosine of an angle.
    Cos,
    /// Tangent of an angle.
    Tan,
    /// The angle with that sine.
    Asin,
    /// The angle with that cosine.
    Acos,
    /// The angle with that tangent.
    Atan,
    /// Sum of a list.
    Sum,
    /// Product of a list.
    Product,
    /// Number of items of a list.
    Count,
    /// Size of the sum of forces that pull in several directions.
    Resultant,
    /// Direction of that sum.
    Direction,
    /// Value between the rows of a table, along straight lines.
    Interpolated,
    /// Value of the last row of a table that is not above.
    Stepped,
    /// Value of the very row of a table.
    Tabled,
    /// Weight of a mass under the sheet's gravity.
    Weight,
    /// Mass of a weight under the sheet's gravity.
    Mass,
    /// A part of the line through a list of loads and a list of efforts; nobody calls it by a name.
    Line {
        /// Whether the stated doubts of both are taken account of.
        both: bool,
        /// Which part.
        part: LinePart,
    },
    /// The effort of a law at a load: its place in [`crate::model::Model::laws`]. It is called by the name of the law.
    AtLoad(usize),
}

/// A part of a straight line through readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LinePart {
    /// How steep it is.
    Slope,
    /// The middle of the loads, where slope and height are independent.
    Middle,
    /// The height there.
    Height,
    /// Standard uncertainty of the slope, from the scatter or from the stated doubts.
    OfSlope,
    /// Standard uncertainty of the height.
    OfHeight,
    /// The standard deviation of a residual.
    Deviation,
}

/// What a function is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Given {
    /// One quantity of any sort.
    One,
    /// One number.
    Number,
    /// One angle.
    Angle,
    /// One number or angle.
    NumberOrAngle,
    /// One mass.
    Mass,
    /// One force.
    Force,
    /// Two or more that can be compared, or one list.
    Several,
    /// One list.
    List,
    /// A list of like values and a list of as many angles.
    Vectors,
    /// A value, a list of like values that ascends, and a list of as many values to find in it.
    Table,
}

/// Name, function, what it is given, and what it does in words: one row a function.
pub const FUNCTIONS: &[(&str, Function, Given, &str)] = &[
    ("sqrt", Function::Sqrt, Given::One, "the square root"),
    ("abs", Function::Abs, Given::One, "the size without its sign"),
    ("min", Function::Min, Given::Several, "the least of several values, or of a list"),
    ("max", Function::Max, Given::Several, "the greatest of several values, or of a list"),
    ("exp", Function::Exp, Given::NumberOrAngle, "e to the power of a number, or of an angle in radians"),
    ("ln", Function::Ln, Given::Number, "the natural logarithm"),
    ("sin", Function::Sin, Given::Angle, "the sine of an angle"),
    ("cos", Function::Cos, Given::Angle, "the cosine of an angle"),
    ("tan", Function::Tan, Given::Angle, "the tangent of an angle"),
    ("asin", Function::Asin, Given::Number, "the angle that has this sine"),
    ("acos", Function::Acos, Given::Number, "the angle that has this cosine"),
    ("atan", Function::Atan, Given::Number, "the angle that has this tangent, or this slope"),
    ("sum", Function::Sum, Given::List, "the sum of a list"),
    ("product", Function::Product, Given::List, "the product of a list"),
    ("count", Function::Count, Given::List, "how many items a list has"),
    (
        "resultant",
        Function::Resultant,
        Given::Vectors,
        "the size of the sum of several forces, from a list of them and a list of their directions",
    ),
    ("direction", Function::Direction, Given::Vectors, "the direction of the sum of several forces, between -180 and 180 degrees"),
    (
        "interpolated",
        Function::Interpolated,
        Given::Table,
        "the value beside `x` in a table, along the straight line between two rows: `interpolated(x, [x of each row], [value of each row])`; outside the table there is none",
    ),
    (
        "stepped",
        Function::Stepped,
        Given::Table,
        "the value of the last row that is not above `x`: `stepped(x, [x of each row], [value of each row])`; below the first row there is none",
    ),
    (
        "tabled",
        Function::Tabled,
        Given::Table,
        "the value of the very row of `x`: `tabled(x, [x of each row], [value of each row])`; between the rows there is none",
    ),
    ("weight", Function::Weight, Given::Mass, "the weight of a mass under the sheet's gravity"),
    ("mass", Function::Mass, Given::Force, "the mass that has this weight under the sheet's gravity"),
];

impl Function {
    /// Its name in the language.
    pub fn name(self) -> &'static str {
        FUNCTIONS.iter().find(|(_, function, ..)| *function == self).map_or("", |(name, ..)| name)
    }

    /// What one single-valued argument becomes. None when the quantity does not fit [`Given`].
    pub fn of(self, argument: Quantity) -> Option<Quantity> {
        match self {
            Function::Sqrt => argument.power(1, 2),
            Function::Abs | Function::Min | Function::Max | Function::Sum => Some(argument),
            Function::Exp | Function::Ln | Function::Sin | Function::Cos | Function::Tan | Function::Product | Function::Count => {
                Some(Quantity::RATIO)
            }
            Function::Asin | Function::Acos | Function::Atan | Function::Direction => Some(Quantity::ANGLE),
            Function::Resultant | Function::Interpolated | Function::Stepped | Function::Tabled => Some(argument),
            Function::Weight => Some(Quantity::FORCE),
            Function::Mass => Some(Quantity::MASS),
            Function::Line { .. } | Function::AtLoad(_) => None,
        }
    }
}
