//! The German of what the document of this kind says (a table).
use crate::words::Row;

/// The table.
#[rustfmt::skip]
pub const ROWS: &[Row] = &[
    ("load that hangs", "Last, die hängt"),
    ("mass of what is lifted", "Masse dessen, was gehoben wird"),
    ("weight of what is lifted", "Gewicht dessen, was gehoben wird"),
    ("pieces of rigging under the last block", "Teile des Geschirrs unter dem letzten Block"),
    ("masses of the rigging, piece by piece", "Massen des Geschirrs, Teil für Teil"),
    ("tags, or weighed", "Anhänger, oder gewogen"),
    ("weights of the rigging, piece by piece", "Gewichte des Geschirrs, Teil für Teil"),
    ("factor for a weight that is not known well", "Beiwert für ein Gewicht, das nicht genau bekannt ist"),
    ("none is supplied; the author states one and its source", "keiner wird vorgegeben; der Verfasser gibt einen an und seine Quelle"),
    ("factor for hoisting and snatch", "Beiwert für Hubstöße und Rucke"),
    ("the number of pieces is not below zero", "die Zahl der Teile ist nicht kleiner als null"),
    ("a factor below one would make the load lighter than it is said to be", "ein Beiwert unter eins würde die Last leichter machen, als sie angegeben ist"),
    ("weight of a mass", "Gewicht einer Masse"),
    ("weight of the rigging, all pieces", "Gewicht des Geschirrs, alle Teile"),
    ("none stated", "keine angegeben"),
    ("what hangs, at rest and as weighed", "was hängt, in Ruhe und wie gewogen"),
    ("load on the last block, factors in", "Last am letzten Block, mit Beiwerten"),
    ("product of what is stated", "Produkt des Angegebenen"),
    ("rigging over what hangs", "Geschirr durch alles, was hängt"),
    ("load that the factors add", "Last, die die Beiwerte hinzufügen"),
    ("a factor above two says that the weight is hardly known: weigh it", "ein Beiwert über zwei heißt, dass das Gewicht kaum bekannt ist: wiegen"),
    ("a factor above two is a load dropped on its sling, which is no calculation for a sheet of statics", "ein Beiwert über zwei ist eine Last, die in ihr Anschlagmittel fällt; das ist keine Rechnung für ein Blatt der Statik"),
    ("a load dropped from no height at all brings twice its weight, textbook statics", "eine Last, die aus der Höhe null fallen gelassen wird, bringt das Doppelte ihres Gewichts, Lehrbuch der Statik"),
    ("No rigging weight is stated: hook, slings and shackles hang on the rope too.", "Es ist kein Gewicht des Geschirrs angegeben: Haken, Anschlagmittel und Schäkel hängen ebenfalls am Seil."),
    ("Lift a hand's breadth, stop, and look before going on.", "Eine Handbreit anheben, anhalten und nachsehen, bevor es weitergeht."),
    ("2000 lb and its rigging make a long ton", "2000 lb und ihr Geschirr ergeben eine Long Ton"),
    ("NIST Handbook 44, app. C", "NIST Handbook 44, Anh. C"),
    ("example of a site rule", "Beispiel einer Regel der Baustelle"),
    ("factors, each on its own part", "Beiwerte, jeder auf seinen Teil"),
    ("(1000 kg × 1.1 + 100 kg) × 1.15 = 1380 kg, under standard gravity", "(1000 kg × 1,1 + 100 kg) × 1,15 = 1380 kg, bei Normfallbeschleunigung"),
];
