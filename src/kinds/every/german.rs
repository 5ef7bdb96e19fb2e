//! The German of what is said of every machine (a table).
use crate::words::Row;

/// The table.
#[rustfmt::skip]
pub const ROWS: &[Row] = &[
    ("definition", "Definition"),
    ("definition of the velocity ratio", "Definition der Wegübersetzung"),
    ("what every machine has", "was jede Maschine hat"),
    ("load over effort", "Last durch Kraft"),
    ("OpenStax College Physics 2e, 9.5", "OpenStax College Physics 2e, 9.5"),
    ("effort without friction or own weight", "Kraft ohne Reibung und Eigengewicht"),
    ("travel of the effort", "Weg der Kraft"),
    ("angle the effort turns through", "Winkel, um den sich die Kraft dreht"),
    ("work put in", "zugeführte Arbeit"),
    ("OpenStax University Physics vol. 1, 7.1", "OpenStax University Physics Bd. 1, 7.1"),
    ("work got out", "abgegebene Arbeit"),
    ("work got out over work put in", "abgegebene durch zugeführte Arbeit"),
    ("work got out over all work put in", "abgegebene durch alle zugeführte Arbeit"),
    ("work put in less work got out", "zugeführte weniger abgegebene Arbeit"),
    ("loss less what the parts account for", "Verlust weniger dem, was die Teile erklären"),
    ("derived here: conservation of energy", "hier hergeleitet: Erhaltung der Energie"),
];
