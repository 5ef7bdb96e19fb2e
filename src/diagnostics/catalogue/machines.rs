//! Findings about sheets, inputs, gear, machines, kinds and trains.

use crate::diagnostics::{Severity, findings, worded};

findings! {
    /// A machine names a kind that nobody has described.
    "kind-unknown" => KindUnknown { word: String, near: Vec<String> }

    /// A setting is not one that this statement understands. A machine understands the fields and options of its kind, and
    /// `load`, `load travel`, `raising`, `holding`, `lowering`, `starting` and `moving`.
    "field-unknown" => FieldUnknown { text: String, of: String, near: Vec<String>, known: Vec<String> }

    /// A setting is given twice, or two settings say the same thing in different ways.
    "field-twice" => FieldTwice { name: String }

    /// A setting is named but given no value.
    "value-missing" => ValueMissing { name: String, wants: String }

    /// Something that a machine cannot be worked without is not stated.
    "field-missing" => FieldMissing { machine: String, name: String, any_of: Vec<String> }

    /// Two settings of a machine say the same thing in different ways, as an angle and a grade do of a slope.
    "fields-clash" => FieldsClash { machine: String, names: Vec<String> }

    /// An option is given a choice it does not have.
    "choice-unknown" => ChoiceUnknown { option: String, found: String, choices: Vec<String> }

    /// A stage of a train hands on a quantity that the next one cannot take.
    ///
    /// A torque cannot pull on a rope and a force cannot turn a shaft: between them belongs a machine that turns one into the
    /// other, such as a drum.
    "ports-unlike" => PortsUnlike { giver: String, gives: String, taker: String, takes: String }

    /// A kind of load is stated as a machine, or a kind of machine as a load. A machine moves a load; a load is only moved.
    "stated-as-wrong" => StatedAsWrong { word: String, is_load: bool, name: String }

    /// No load meets what is known: the force that was named stays above it, or below it, whatever the load.
    "no-load-meets" => NoLoadMeets { name: String, known: String, found: String }

    /// A machine gives out more work than is put into it. No machine does; a relation of its kind, or a number, is wrong.
    ///
    /// A machine trades force for travel and always loses something to friction. The work lost at its surfaces must not be
    /// below zero, and what is put in must be what comes out and what is lost.
    "work-for-nothing" => WorkForNothing { machine: String, says: String }

    /// The two ways of reckoning what is lost do not agree: work put in less work got out, and the work at the rubbing surfaces.
    ///
    /// Every kind states `friction_work` a second, independent way, from the forces at its surfaces and the sliding there. When
    /// the two differ, one of the relations of the kind is wrong.
    "work-unbalanced" => WorkUnbalanced { machine: String, lost: String, rubbed: String }

    /// A train begins with a machine, so that nobody is said to work it.
    ///
    /// A train is read from the effort to the load. What stands first is who or what pulls; its name is free.
    "train-without-hand" => TrainWithoutHand { machine: String, mended: String }

    /// A train is written from the load to the effort.
    ///
    /// It is read from the effort to the load, the way the force goes.
    "train-reversed" => TrainReversed { load: String, mended: String }

    /// A date in the head of the sheet is not written as a year, a month and a day.
    ///
    /// ISO 8601 writes 2026-03-14, which is read alike everywhere.
    "date-unread" => DateUnread { found: String }

    /// The duty of the sheet is nearly, but not quite, one of the two that settle how its verdicts are reached.
    ///
    /// Where the duty is `lift` or `pull`, a check passes only if it clears a guard band. Any other duty is printed and settles nothing.
    "duty-near" => DutyNear { found: String, near: String }

    /// A station of a train is not a machine, or its end is not a force.
    "station-wrong" => StationWrong { name: String, wanted: String }

    /// A condition under which the relations of a kind are true does not hold, so nothing is worked from them.
    "limit-broken" => LimitBroken { machine: String, says: String, found: String }

    /// Something unusual in a machine that a colleague would ask about.
    "question" => Question { machine: String, says: String, found: String }

    /// A relation came to no number: a division by zero, the root of a negative number.
    "not-finite" => NotFinite { name: String }

    /// Two alternatives of one relation hold at once.
    "relation-twice" => RelationTwice { name: String }

    /// A kind does not give what every machine must have.
    "relation-missing" => RelationMissing { kind: String, name: String, here: bool }

    /// A kind that another file describes has a mistake of its own, so that nothing can be worked from it here.
    ///
    /// The mistake is told in full when that file is checked; mend it there.
    "kind-broken" => KindBroken { kind: String, path: String }

    /// An input has no source. Every number that is taken as given needs one: a ticket, a tag, a drawing, a measurement.
    "source-missing" => SourceMissing { name: String, because: bool }

    /// An assumption has no basis, so nobody can judge it.
    "basis-missing" => BasisMissing { name: String }

    /// Only an assumption is open until it is confirmed. An input, a rating or a setting says with its evidence how sure it is.
    "not-assumed" => NotAssumed { word: String }

    /// A second head of the sheet.
    "sheet-twice" => SheetTwice {}

    /// A setting of the head of the sheet that cannot be read.
    "head-value" => HeadValue { name: String, found: String, wanted: String }
}

fn quoted(names: &[String]) -> String {
    names.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ")
}

worded!(
    KindUnknown,
    Severity::Error,
    |s| format!("no kind of machine is called `{}`", s.word),
    "not a kind that is known".into(),
    None,
    Some(if s.near.is_empty() {
        "`parbuckle explain kinds` lists them; a `kind` statement above this line adds one".into()
    } else {
        format!("did you mean {}?", quoted(&s.near))
    })
);
worded!(
    FieldUnknown,
    Severity::Error,
    |s| format!("{} has no setting `{}`", s.of, s.text),
    "not a setting of it".into(),
    None,
    Some(if s.known.is_empty() {
        "leave the line out".into()
    } else if s.near.is_empty() {
        format!("it understands {}", quoted(&s.known))
    } else {
        format!("did you mean {}?", quoted(&s.near))
    })
);
worded!(
    FieldTwice,
    Severity::Error,
    |s| format!("`{}` is given twice", s.name),
    "given again here".into(),
    Some("two statements of one fact leave a checker to guess which was used".into()),
    Some("keep one of them".into())
);
worded!(ValueMissing, Severity::Error, |s| format!("`{}` is given no value", s.name), format!("{} belongs after it", s.wants), None, None);
worded!(
    FieldMissing,
    Severity::Error,
    |s| if s.any_of.is_empty() {
        format!("`{}` does not state its `{}`", s.machine, s.name)
    } else {
        format!("`{}` needs one of {}", s.machine, quoted(&s.any_of))
    },
    format!("cannot be worked without `{}`", s.name),
    None,
    Some(if s.any_of.is_empty() {
        format!("add an indented line, `{} ...`, with its source", s.name.replace('_', " "))
    } else {
        "state one of them on an indented line, with its source".into()
    })
);
worded!(
    FieldsClash,
    Severity::Error,
    |s| format!("`{}` is given {} together", s.machine, s.names.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(" and ")),
    "they say the same thing".into(),
    Some("two statements of one fact leave a checker to guess which was used".into()),
    Some("keep one of them".into())
);
worded!(
    ChoiceUnknown,
    Severity::Error,
    |s| format!("`{}` cannot be `{}`", s.option, s.found),
    "not one of its choices".into(),
    None,
    Some(format!("it may be {}", quoted(&s.choices)))
);
worded!(
    PortsUnlike,
    Severity::Error,
    |s| format!("{} gives a {}, but {} takes a {}", s.giver, s.gives, s.taker, s.takes),
    "they are joined here".into(),
    Some(if s.gives == "torque" || s.takes == "torque" {
        "a torque cannot pull a rope and a force cannot turn a shaft without an arm between them".into()
    } else {
        "a train passes one force from stage to stage".into()
    }),
    Some("put a machine between them that turns one into the other".into())
);
worded!(
    StatedAsWrong,
    Severity::Error,
    |s| if s.is_load {
        format!("`{}` is a load, which is moved, not a machine, which moves", s.word)
    } else {
        format!("`{}` is a machine, which moves a load, not a load", s.word)
    },
    if s.is_load { "a kind of load".into() } else { "a kind of machine".into() },
    None,
    Some(format!("write `{} {} = {}`", if s.is_load { "load" } else { "machine" }, s.name, s.word))
);
worded!(
    NoLoadMeets,
    Severity::Error,
    |s| format!("no load makes `{}` {}", s.name, s.known),
    s.found.clone(),
    Some("a force that does not follow the load cannot tell how great the load is".into()),
    Some("name a force of this train that grows with the load, or check the value".into())
);
worded!(
    WorkForNothing,
    Severity::Error,
    |s| format!("`{}` would give work for nothing", s.machine),
    s.says.clone(),
    Some("it is the one thing a machine cannot do: force is bought with travel, and friction takes its share".into()),
    Some("check the relations of the kind, above all `velocity_ratio` against `effort`, and every number given to it".into())
);
worded!(
    WorkUnbalanced,
    Severity::Warning,
    |s| format!("the two ways of reckoning the loss of `{}` do not agree", s.machine),
    format!("work in less work out is {}, at the surfaces {} is lost", s.lost, s.rubbed),
    Some("the second way is there to find a mistake in the first".into()),
    Some("compare `friction_work` of the kind with its `effort` and `velocity_ratio`".into())
);
worded!(
    StationWrong,
    Severity::Error,
    |s| format!("`{}` cannot stand here in a train", s.name),
    format!("{} is needed", s.wanted),
    None,
    Some("a train reads from effort to load: `train haul: crew -> falls -> slip -> load`".into())
);
worded!(
    TrainWithoutHand,
    Severity::Error,
    |s| format!("the train begins with the machine `{}`", s.machine),
    "who or what pulls stands first".into(),
    Some("a train is read from the effort to the load".into()),
    Some(format!("put a name for what pulls before it: `{}`", s.mended))
);
worded!(
    TrainReversed,
    Severity::Error,
    |s| format!("the train begins with the load `{}`", s.load),
    "the load stands last".into(),
    Some("a train is read from the effort to the load, the way the force goes".into()),
    Some(format!("turn it about: `{}`", s.mended))
);
worded!(
    DateUnread,
    Severity::Warning,
    |s| format!("`{}` is not a date as ISO 8601 writes it", s.found),
    "year, month and day are wanted".into(),
    Some("4/3/2026 is the fourth of March in one country and the third of April in another".into()),
    Some("write it as in `2026-03-14`".into())
);
worded!(
    DutyNear,
    Severity::Warning,
    |s| format!("the duty `{}` settles nothing", s.found),
    format!("not `{}`", s.near),
    Some("where the duty is `lift` or `pull`, a check passes only if it clears a guard band; here it need not".into()),
    Some(format!("write `duty {}`, or state the rule: `rule guard band` or `rule simple acceptance`", s.near))
);
worded!(
    LimitBroken,
    Severity::Error,
    |s| format!("`{}`: {}", s.machine, s.says),
    s.found.clone(),
    Some("outside this limit the relations of the machine are not true".into()),
    None
);
worded!(Question, Severity::Warning, |s| format!("`{}`: {}", s.machine, s.says), s.found.clone(), None, None);
worded!(
    NotFinite,
    Severity::Error,
    |s| format!("`{}` comes to no number", s.name),
    "a division by zero, or a root or logarithm of a negative number".into(),
    None,
    None
);
worded!(
    RelationTwice,
    Severity::Error,
    |s| format!("two alternatives of `{}` hold at once", s.name),
    "this one holds as well".into(),
    Some("the same thing is stated in two ways".into()),
    Some("state only one of them in the machine, or mend the guards of the kind".into())
);
worded!(
    RelationMissing,
    Severity::Error,
    |s| format!("the kind `{}` gives no `{}`{}", s.kind, s.name, if s.here { " here" } else { "" }),
    if s.name == "load" { "every load needs one".into() } else { "every machine needs one".into() },
    None,
    Some(format!("add `relation {} = ...` to the kind{}", s.name, if s.here { ", for this direction or choice too" } else { "" }))
);
worded!(
    KindBroken,
    Severity::Error,
    |s| format!("the kind `{}`, which `{}` describes, has a mistake of its own", s.kind, s.path),
    "used by this machine".into(),
    None,
    Some("check that file by itself and mend it first".into())
);
worded!(
    SourceMissing,
    Severity::Warning,
    |s| format!("`{}` has no source", s.name),
    "where does this number come from?".into(),
    Some("a checker can only check a number that says where it was read".into()),
    Some(if s.because {
        "`because` gives the reason of an assumption: begin the line with `assume`, or say where the number was read, `from \"...\"`".into()
    } else {
        "add `from \"...\"`, or `measured`, `weighed`, `marked`, `drawing`".into()
    })
);
worded!(
    BasisMissing,
    Severity::Warning,
    |s| format!("the assumption `{}` has no basis", s.name),
    "why is this assumed?".into(),
    None,
    Some("add `because \"...\"`".into())
);
worded!(
    NotAssumed,
    Severity::Error,
    |s| format!("`{}` stands with something that is not assumed", s.word),
    "only an assumption has a state".into(),
    Some("an assumption is open until somebody has made sure of it; what was measured or read is as sure as its evidence".into()),
    Some("say where the number comes from with `from \"...\"` or `measured \"...\"`, or state it with `assume`".into())
);
worded!(
    SheetTwice,
    Severity::Error,
    |_s| "a document is one sheet".into(),
    "a second head".into(),
    None,
    Some("keep one `sheet` statement".into())
);
worded!(HeadValue, Severity::Error, |s| format!("`{}` cannot be `{}`", s.name, s.found), format!("{} is wanted", s.wanted), None, None);
