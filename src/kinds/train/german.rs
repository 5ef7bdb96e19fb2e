//! The German of what is said of a whole train (a table).
use crate::words::Row;

/// The table.
#[rustfmt::skip]
pub const ROWS: &[Row] = &[
    ("what a whole train has", "was ein ganzer Maschinenzug hat"),
    ("machines in the train", "Maschinen im Zug"),
    ("effort at the first machine", "Kraft an der ersten Maschine"),
    ("the first machine's effort", "Kraft der ersten Maschine"),
    ("load at the last machine", "Last an der letzten Maschine"),
    ("given", "gegeben"),
    ("travel of the load", "Weg der Last"),
    ("travel of the effort of the first machine", "Weg der Kraft der ersten Maschine"),
    ("the first machine's effort travel", "Weg der Kraft der ersten Maschine"),
    ("velocity ratio of each stage", "Wegübersetzung jeder Stufe"),
    ("each machine's own", "jeder Maschine eigen"),
    ("work lost at each stage's surfaces", "Arbeit, die an den Flächen jeder Stufe verloren geht"),
    ("work to raise each stage's own parts", "Arbeit, um die eigenen Teile jeder Stufe zu heben"),
    ("velocity ratio of the train", "Wegübersetzung des Zugs"),
    ("derived here: travels pass from stage to stage", "hier hergeleitet: die Wege gehen von Stufe zu Stufe weiter"),
    ("work lost at all rubbing surfaces", "Arbeit, die an allen reibenden Flächen verloren geht"),
    ("work to raise the machines' own parts", "Arbeit, um die eigenen Teile der Maschinen zu heben"),
    ("loss less what the stages account for", "Verlust weniger dem, was die Stufen erklären"),
];
