//! The German of what the document of this kind says (a table).
use crate::words::Row;

/// The table.
#[rustfmt::skip]
pub const ROWS: &[Row] = &[
    ("rack and pinion", "Zahnstange und Ritzel"),
    ("pitch diameter of the pinion", "Teilkreisdurchmesser des Ritzels"),
    ("teeth of the pinion", "Zähnezahl des Ritzels"),
    ("module: pitch diameter over teeth", "Modul: Teilkreisdurchmesser durch Zähnezahl"),
    ("marked", "Aufschrift"),
    ("efficiency of mesh and guide", "Wirkungsgrad von Eingriff und Führung"),
    ("a pinion has a diameter", "ein Ritzel hat einen Durchmesser"),
    ("a pinion has more than three teeth: is this a diameter?", "ein Ritzel hat mehr als drei Zähne: ist dies ein Durchmesser?"),
    ("a module is above zero", "ein Modul ist größer als null"),
    ("pitch diameter", "Teilkreisdurchmesser"),
    ("ISO 54, module (from memory)", "ISO 54, Modul (aus dem Gedächtnis)"),
    ("turn of the pinion over travel of the rack", "Drehung des Ritzels zu Weg der Zahnstange"),
    ("angle the pinion turns", "Winkel, um den sich das Ritzel dreht"),
    ("turns of the pinion", "Umdrehungen des Ritzels"),
    ("travel of the rack for one turn", "Weg der Zahnstange bei einer Umdrehung"),
    ("circumference of the pitch circle", "Umfang des Teilkreises"),
    ("torque at the pinion", "Moment am Ritzel"),
    ("torque over radius; definition of the efficiency", "Moment durch Halbmesser; Definition des Wirkungsgrads"),
    ("the same share is lost both ways", "in beiden Richtungen geht derselbe Anteil verloren"),
    ("force along the rack at the teeth", "Kraft längs der Zahnstange an den Zähnen"),
    ("resistance of mesh and guide, along the rack", "Widerstand von Eingriff und Führung, längs der Zahnstange"),
    ("force that parts pinion and rack, on pinion bearings and rack guide", "Kraft, die Ritzel und Zahnstange auseinanderdrückt, auf Ritzellager und Führung"),
    ("force on the pinion's bearings", "Kraft auf die Lager des Ritzels"),
    ("work lost at mesh and guide", "Arbeit, die an Eingriff und Führung verloren geht"),
    ("resistance times travel", "Widerstand mal Weg"),
    ("an efficiency below 0.7 is rare at one mesh: is this a loss?", "ein Wirkungsgrad unter 0,7 ist an einem Eingriff selten: ist dies ein Verlust?"),
    ("A rack runs back: set a ratchet or a brake before the effort is let go.", "Eine Zahnstange läuft zurück: eine Sperre oder Bremse einlegen, bevor die Kraft wegfällt."),
    ("any force", "eine beliebige Kraft"),
    ("travel of a turn", "Weg bei einer Umdrehung"),
    ("circumference of a circle of 100 mm", "Umfang eines Kreises von 100 mm"),
    ("torque", "Moment"),
    ("force times radius", "Kraft mal Halbmesser"),
];
