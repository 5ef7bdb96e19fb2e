//! What the parser read of values, turned into the tree: numbers, units, expressions, doubt, evidence.

use crate::diagnostics::Finding;
use crate::diagnostics::catalogue::syntax;
use crate::source::Extent;
use crate::syntax::ast::{
    By, Comparison, Doubt, DoubtAlone, Evidence, EvidenceWord, Expression, Fold, Form, Meaning, Name, Operator, Path, Quoted, Relation,
    Running, Stated, Term, UnitText,
};
use crate::syntax::names;
use crate::syntax::parser::{Piece, Rule, extent};
use pest::iterators::Pairs;
use std::cell::Cell;
use std::iter::Peekable;

/// How many steps may stand inside each other in one expression. The rooms after this one walk the tree by
/// recursion, so this is also what keeps their stacks small.
pub(crate) const STEPS: usize = 200;

/// One fault: where, and what is to be said.
pub(crate) struct Fault {
    pub(crate) at: Extent,
    pub(crate) finding: Box<dyn Finding>,
}

impl Fault {
    pub(crate) fn new(at: Extent, finding: impl Finding + 'static) -> Self {
        Fault { at, finding: Box::new(finding) }
    }
}

pub(crate) type Lowered<T> = Result<T, Fault>;

/// Turns pieces into the tree. Their places are counted from `base`.
pub(crate) struct Reader {
    pub(crate) base: u32,
    level: Cell<usize>,
}

// An expression and how many steps stand inside each other in it.
type Deep = (Expression, usize);

impl Reader {
    pub(crate) fn new(base: u32) -> Self {
        Reader { base, level: Cell::new(0) }
    }

    pub(crate) fn at(&self, piece: &Piece<'_>) -> Extent {
        extent(piece, self.base)
    }

    // The grammar promises the piece; should grammar and code ever part, this is a finding and not a crash.
    pub(crate) fn promised<T>(&self, piece: Option<T>, at: Extent, expected: &str) -> Lowered<T> {
        piece.ok_or_else(|| Fault::new(at, syntax::UnexpectedText { found: "nothing".into(), expected: expected.into() }))
    }

    pub(crate) fn name(&self, piece: &Piece<'_>) -> Name {
        Name { text: names::plain(piece.as_str()), at: self.at(piece) }
    }

    pub(crate) fn unit(&self, piece: &Piece<'_>) -> UnitText {
        UnitText { text: piece.as_str().to_string(), at: self.at(piece) }
    }

    pub(crate) fn path(&self, piece: &Piece<'_>) -> Path {
        let part = |inner: &Piece<'_>| matches!(inner.as_rule(), Rule::name | Rule::word_each);
        let parts = piece.clone().into_inner().filter(part).map(|inner| self.name(&inner)).collect();
        Path { parts, at: self.at(piece) }
    }

    pub(crate) fn quoted(&self, piece: &Piece<'_>) -> Quoted {
        Quoted { text: unquoted(piece.as_str()), at: self.at(piece) }
    }

    pub(crate) fn number(&self, piece: &Piece<'_>) -> Lowered<f64> {
        let typed = piece.as_str();
        finite(typed).ok_or_else(|| Fault::new(self.at(piece), syntax::NumberTooLarge { typed: typed.to_string() }))
    }

    pub(crate) fn evidence(&self, piece: &Piece<'_>) -> Lowered<Evidence> {
        let at = self.at(piece);
        let mut inner = piece.clone().into_inner();
        let word = match inner.next().map(|word| word.as_rule()) {
            Some(Rule::word_measured) => EvidenceWord::Measured,
            Some(Rule::word_marked) => EvidenceWord::Marked,
            Some(Rule::word_weighed) => EvidenceWord::Weighed,
            Some(Rule::word_drawing) => EvidenceWord::Drawing,
            Some(Rule::word_because) => EvidenceWord::Because,
            Some(Rule::word_effect) => EvidenceWord::Effect,
            Some(Rule::word_ref) => EvidenceWord::Ref,
            Some(Rule::word_confirmed) => EvidenceWord::Confirmed,
            Some(Rule::word_confirm) => EvidenceWord::ConfirmBy,
            _ => EvidenceWord::From,
        };
        let text = self.promised(inner.find(|part| part.as_rule() == Rule::string), at, "text in quotation marks")?;
        Ok(Evidence { word, text: self.quoted(&text), at })
    }

    pub(crate) fn running(&self, piece: &Piece<'_>) -> Lowered<Running> {
        let at = self.at(piece);
        let mut index = None;
        let mut bounds = Vec::new();
        for inner in piece.clone().into_inner() {
            match inner.as_rule() {
                Rule::name => index = Some(self.name(&inner)),
                Rule::expression => bounds.push(Box::new(self.expression(&inner)?)),
                _ => {}
            }
        }
        let mut bounds = bounds.into_iter();
        Ok(Running {
            index: self.promised(index, at, "an index")?,
            from: self.promised(bounds.next(), at, "a first value")?,
            to: self.promised(bounds.next(), at, "a last value")?,
        })
    }

    pub(crate) fn comparison(&self, piece: &Piece<'_>) -> Lowered<Comparison> {
        let at = self.at(piece);
        let mut sides = Vec::new();
        let mut sign = None;
        for inner in piece.clone().into_inner() {
            let relation = match inner.as_rule() {
                Rule::at_most => Relation::AtMost,
                Rule::below => Relation::Below,
                Rule::at_least => Relation::AtLeast,
                Rule::above => Relation::Above,
                Rule::equals => Relation::Equal,
                _ => {
                    sides.push(self.expression(&inner)?);
                    continue;
                }
            };
            sign = Some((relation, self.at(&inner)));
        }
        let mut sides = sides.into_iter();
        let (relation, relation_at) = self.promised(sign, at, "a comparison")?;
        let left = self.promised(sides.next(), at, "a value")?;
        let right = self.promised(sides.next(), at, "a value")?;
        Ok(Comparison { left, relation, right, relation_at, at })
    }

    /// The value, doubt, unit and evidence among `pieces`.
    pub(crate) fn stated<'t>(&self, pieces: impl Iterator<Item = Piece<'t>>, at: Extent) -> Lowered<Stated> {
        let (mut value, mut doubt, mut shown_in, mut evidence) = (None, None, None, Vec::new());
        let (mut repeats, mut resolution, mut by) = (None, None, None);
        for piece in pieces {
            match piece.as_rule() {
                Rule::expression => value = Some(self.expression(&piece)?),
                Rule::doubt => doubt = Some(self.doubt(&piece)?),
                Rule::doubted => {
                    let (both, spread) = self.doubted(&piece)?;
                    value = Some(both);
                    doubt = Some(spread);
                }
                Rule::repeats => repeats = Some(self.at(&piece)),
                Rule::steps_of => {
                    let step = piece.clone().into_inner().find(|part| part.as_rule() == Rule::expression);
                    resolution = Some(self.expression(&self.promised(step, self.at(&piece), "a step")?)?);
                }
                Rule::read_by => by = Some(self.read_by(&piece)?),
                Rule::as_unit => shown_in = self.shown_in(&piece),
                Rule::evidence | Rule::confirmation => evidence.push(self.evidence(&piece)?),
                _ => {}
            }
        }
        Ok(Stated { value: self.promised(value, at, "a value")?, repeats, doubt, resolution, by, shown_in, evidence })
    }

    pub(crate) fn doubt_alone(&self, piece: &Piece<'_>) -> Lowered<DoubtAlone> {
        let mut inner = piece.clone().into_inner();
        let doubt = self.doubt(&self.promised(inner.next(), self.at(piece), "a doubt")?)?;
        let evidence =
            inner.filter(|inner| inner.as_rule() == Rule::evidence).map(|inner| self.evidence(&inner)).collect::<Lowered<_>>()?;
        Ok(DoubtAlone { doubt, evidence })
    }

    fn read_by(&self, piece: &Piece<'_>) -> Lowered<By> {
        let at = self.at(piece);
        let part = |rule: Rule| piece.clone().into_inner().find(|inner| inner.as_rule() == rule);
        let instrument = self.path(&self.promised(part(Rule::path), at, "an instrument")?);
        Ok(By { instrument, inverted: part(Rule::word_inverted).map(|word| self.at(&word)), at })
    }

    pub(crate) fn shown_in(&self, piece: &Piece<'_>) -> Option<UnitText> {
        piece.clone().into_inner().find(|inner| inner.as_rule() == Rule::unit).map(|unit| self.unit(&unit))
    }

    fn doubt(&self, piece: &Piece<'_>) -> Lowered<Doubt> {
        let at = self.at(piece);
        let (mut amount, mut of_value, mut meaning, mut degrees) = (None, false, Meaning::Limits, None);
        for inner in piece.clone().into_inner() {
            match inner.as_rule() {
                Rule::expression => amount = Some(self.expression(&inner)?),
                Rule::of_value => of_value = true,
                Rule::standard => meaning = Meaning::Standard,
                Rule::coverage => {
                    let factor = inner.clone().into_inner().find(|part| part.as_rule() == Rule::number);
                    let factor = self.promised(factor, at, "a coverage factor")?;
                    match self.number(&factor)? {
                        k if k > 0.0 => meaning = Meaning::Expanded(k),
                        _ => return Err(Fault::new(self.at(&factor), syntax::BadCoverageFactor {})),
                    }
                }
                Rule::word_triangular => meaning = Meaning::Triangular,
                Rule::word_arcsine => meaning = Meaning::Arcsine,
                Rule::trapeze => match self.signed_in(&inner)? {
                    (share, _) if (0.0..=1.0).contains(&share) => meaning = Meaning::Trapezoidal(share),
                    (_, place) => return Err(Fault::new(place, syntax::BadTrapezoid {})),
                },
                Rule::level => match self.signed_in(&inner)? {
                    (level, _) if level > 0.0 && level < 100.0 => meaning = Meaning::Level(level / 100.0),
                    (_, place) => return Err(Fault::new(place, syntax::BadLevel {})),
                },
                Rule::degrees => match self.signed_in(&inner)? {
                    (number, _) if number >= 1.0 => degrees = Some(number),
                    (_, place) => return Err(Fault::new(place, syntax::BadDegreesOfFreedom {})),
                },
                _ => {}
            }
        }
        Ok(Doubt { amount: self.promised(amount, at, "an amount")?, of_value, meaning, degrees, at })
    }

    // The number in `piece`, which may have a sign, and where it stands.
    fn signed_in(&self, piece: &Piece<'_>) -> Lowered<(f64, Extent)> {
        let number = piece.clone().into_inner().find(|part| part.as_rule() == Rule::signed);
        let number = self.promised(number, self.at(piece), "a number")?;
        Ok((self.number(&number)?, self.at(&number)))
    }

    // `(12 ± 2) %`: the unit belongs to both numbers.
    fn doubted(&self, piece: &Piece<'_>) -> Lowered<(Expression, Doubt)> {
        let at = self.at(piece);
        let unit = piece.clone().into_inner().find(|inner| inner.as_rule() == Rule::unit).map(|unit| self.unit(&unit));
        let inner = self.stated(piece.clone().into_inner(), at)?;
        let mut value = inner.value;
        let mut doubt = self.promised(inner.doubt, at, "a doubt")?;
        for part in [&mut value, &mut doubt.amount] {
            let number = match &mut part.form {
                Form::Negative(under) => &mut under.form,
                form => form,
            };
            match number {
                Form::Quantity(terms) if terms.iter().all(|term| term.unit.is_none()) => {
                    terms.iter_mut().for_each(|term| term.unit = unit.clone());
                }
                _ => return Err(Fault::new(part.at, syntax::DoubtNeedsPlainNumbers {})),
            }
        }
        Ok((value, doubt))
    }

    pub(crate) fn expression(&self, piece: &Piece<'_>) -> Lowered<Expression> {
        self.deep(piece).map(|(expression, _)| expression)
    }

    fn deep(&self, piece: &Piece<'_>) -> Lowered<Deep> {
        let at = self.at(piece);
        self.sum(&mut piece.clone().into_inner().peekable(), at)
    }

    fn sum(&self, parts: &mut Peekable<Pairs<'_, Rule>>, at: Extent) -> Lowered<Deep> {
        let mut left = self.product(parts, at)?;
        while let Some(sign) = parts.next_if(|part| matches!(part.as_rule(), Rule::plus | Rule::minus)) {
            let right = self.product(parts, at)?;
            left = self.joined(left, &sign, right)?;
        }
        Ok(left)
    }

    fn product(&self, parts: &mut Peekable<Pairs<'_, Rule>>, at: Extent) -> Lowered<Deep> {
        let mut left = self.signed(parts, at)?;
        while let Some(sign) = parts.next_if(|part| matches!(part.as_rule(), Rule::times | Rule::divide)) {
            let right = self.signed(parts, at)?;
            star_in_unit(&left.0, self.at(&sign), &right.0)?;
            left = self.joined(left, &sign, right)?;
        }
        Ok(left)
    }

    fn signed(&self, parts: &mut Peekable<Pairs<'_, Rule>>, at: Extent) -> Lowered<Deep> {
        let mut signs = Vec::new();
        while let Some(sign) = parts.next_if(|part| part.as_rule() == Rule::minus) {
            signs.push(self.at(&sign));
        }
        let mut deep = self.power(parts, at)?;
        for sign in signs.into_iter().rev() {
            let at = sign.to(deep.0.at);
            deep = self.checked((Expression { form: Form::Negative(Box::new(deep.0)), at }, deep.1 + 1))?;
        }
        Ok(deep)
    }

    fn power(&self, parts: &mut Peekable<Pairs<'_, Rule>>, at: Extent) -> Lowered<Deep> {
        self.level.set(self.level.get() + 1);
        if self.level.get() > STEPS {
            return Err(Fault::new(at, syntax::ExpressionTooLong { limit: STEPS }));
        }
        let operand = self.promised(parts.next(), at, "a value")?;
        let mut deep = self.operand(&operand)?;
        if let Some(sign) = parts.next_if(|part| part.as_rule() == Rule::power) {
            let exponent = self.signed(parts, at)?;
            deep = self.joined(deep, &sign, exponent)?;
        }
        self.level.set(self.level.get() - 1);
        Ok(deep)
    }

    fn joined(&self, left: Deep, sign: &Piece<'_>, right: Deep) -> Lowered<Deep> {
        let operator = match sign.as_rule() {
            Rule::plus => Operator::Add,
            Rule::minus => Operator::Subtract,
            Rule::times => Operator::Multiply,
            Rule::divide => Operator::Divide,
            _ => Operator::Power,
        };
        let at = left.0.at.to(right.0.at);
        let depth = left.1.max(right.1) + 1;
        let form = Form::Binary { operator, operator_at: self.at(sign), left: Box::new(left.0), right: Box::new(right.0) };
        self.checked((Expression { form, at }, depth))
    }

    fn checked(&self, deep: Deep) -> Lowered<Deep> {
        if deep.1 > STEPS { Err(Fault::new(deep.0.at, syntax::ExpressionTooLong { limit: STEPS })) } else { Ok(deep) }
    }

    fn operand(&self, piece: &Piece<'_>) -> Lowered<Deep> {
        let at = self.at(piece);
        match piece.as_rule() {
            Rule::quantity => Ok((Expression { form: Form::Quantity(self.terms(piece)?), at }, 1)),
            Rule::named => self.named(piece, at),
            Rule::call => self.call(piece, at),
            Rule::list => {
                let (items, depth) = self.several(piece)?;
                self.checked((Expression { form: Form::List(items), at }, depth + 1))
            }
            _ => {
                // A bracket leaves no mark in the tree but its place: the expression inside takes on the outer extent.
                let inner = piece.clone().into_inner().find(|part| part.as_rule() == Rule::expression);
                let (mut inner, depth) = self.deep(&self.promised(inner, at, "a value")?)?;
                inner.at = at;
                self.checked((inner, depth + 1))
            }
        }
    }

    fn terms(&self, piece: &Piece<'_>) -> Lowered<Vec<Term>> {
        let mut terms = Vec::new();
        for term in piece.clone().into_inner() {
            let (mut number, mut unit) = (None, None);
            for part in term.clone().into_inner() {
                match part.as_rule() {
                    Rule::number => number = Some(part),
                    _ => unit = Some(self.unit(&part)),
                }
            }
            let number = self.promised(number, self.at(&term), "a number")?;
            terms.push(Term { typed: number.as_str().to_string(), number: self.number(&number)?, unit, at: self.at(&term) });
        }
        Ok(terms)
    }

    fn named(&self, piece: &Piece<'_>, at: Extent) -> Lowered<Deep> {
        let mut inner = piece.clone().into_inner();
        let path = self.path(&self.promised(inner.next(), at, "a name")?);
        let index = inner.next().and_then(|index| index.into_inner().find(|part| part.as_rule() == Rule::expression));
        match index {
            None => Ok((Expression { form: Form::Name(path), at }, 1)),
            Some(index) => {
                let (index, depth) = self.deep(&index)?;
                self.checked((Expression { form: Form::Item { list: path, index: Box::new(index) }, at }, depth + 1))
            }
        }
    }

    fn call(&self, piece: &Piece<'_>, at: Extent) -> Lowered<Deep> {
        let mut function = None;
        let mut running = None;
        for part in piece.clone().into_inner() {
            match part.as_rule() {
                Rule::call_head => function = part.into_inner().next().map(|name| self.name(&name)),
                Rule::running => running = Some((self.running(&part)?, self.at(&part))),
                _ => {}
            }
        }
        let function = self.promised(function, at, "a function")?;
        let (arguments, depth) = self.several(piece)?;
        let form = match running {
            None => Form::Call { function, arguments },
            Some((running, running_at)) => {
                let fold = match function.text.as_str() {
                    "sum" => Fold::Sum,
                    "product" => Fold::Product,
                    _ => {
                        let finding = syntax::UnexpectedText { found: "`for`".into(), expected: "`,` or `)`".into() };
                        return Err(Fault::new(running_at, finding));
                    }
                };
                let body = self.promised(arguments.into_iter().next(), at, "a value")?;
                Form::Over { fold, body: Box::new(body), running }
            }
        };
        self.checked((Expression { form, at }, depth + 1))
    }

    fn several(&self, piece: &Piece<'_>) -> Lowered<(Vec<Expression>, usize)> {
        let mut items = Vec::new();
        let mut deepest = 0;
        for part in piece.clone().into_inner().filter(|part| part.as_rule() == Rule::expression) {
            let (item, depth) = self.deep(&part)?;
            deepest = deepest.max(depth);
            items.push(item);
        }
        Ok((items, deepest))
    }
}

/// The number that is `typed`, unless it is too large to be one.
pub(super) fn finite(typed: &str) -> Option<f64> {
    let plain = if typed.contains(['_', '−']) { typed.replace('_', "").replace('−', "-").parse::<f64>() } else { typed.parse::<f64>() };
    plain.ok().filter(|number| number.is_finite())
}

/// What stands between quotation marks, `\"` and `\\` undone.
pub(super) fn unquoted(written: &str) -> String {
    let inside = written.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')).unwrap_or(written);
    if !inside.contains('\\') {
        return inside.to_string();
    }
    let mut text = String::with_capacity(inside.len());
    let mut letters = inside.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '\\' => match letters.next() {
                Some(kept @ ('"' | '\\')) => text.push(kept),
                Some(other) => text.extend(['\\', other]),
                None => text.push('\\'),
            },
            other => text.push(other),
        }
    }
    text
}

/// `2 kN*m`, without room around the star, is a unit written with the wrong mark more often than a product.
pub(super) fn star_in_unit(left: &Expression, star: Extent, right: &Expression) -> Lowered<()> {
    let nearest = match &left.form {
        Form::Binary { right, .. } => &right.form,
        form => form,
    };
    let Form::Quantity(terms) = nearest else { return Ok(()) };
    let Some(unit) = terms.last().and_then(|term| term.unit.as_ref()) else { return Ok(()) };
    let Form::Name(path) = &right.form else { return Ok(()) };
    let factor: Vec<&str> = path.parts.iter().map(|part| part.text.as_str()).collect();
    let one_byte = star.end - star.start == 1;
    if one_byte && unit.at.end == star.start && star.end == right.at.start {
        return Err(Fault::new(unit.at.to(right.at), syntax::StarInUnit { unit: unit.text.clone(), factor: factor.join(".") }));
    }
    Ok(())
}
