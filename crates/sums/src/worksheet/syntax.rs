//! From a line's text to what it says, and nothing worked out yet.

use std::ops::Range;

use pest::Parser;
use pest::error::{ErrorVariant, InputLocation};
use pest::iterators::{Pair, Pairs};
use plumbline_timecode::{Fraction, Rate, SampleRate, Timebase};
use plumbline_words::alternatives;

use super::fault::{Fault, Found, Operator, Wrong};
use crate::decimal;

/// The grammar, which stands in `worksheet.pest`.
#[derive(pest_derive::Parser)]
#[grammar = "worksheet/worksheet.pest"]
struct Grammar;

/// What a line says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Statement {
    /// The rate that the line has instead of the sheet's.
    pub(super) timebase: Option<Timebase>,
    /// The name that the result gets, and where it stands.
    pub(super) name: Option<(String, Range<usize>)>,
    pub(super) expression: Expression,
}

/// Something to work out, and where in the line it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Expression {
    pub(super) node: Node,
    pub(super) span: Range<usize>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Node {
    Midnight,
    Clock {
        digits: String,
        meaning: Meaning,
        timebase: Option<Timebase>,
    },
    Length(Vec<Quantity>),
    Number(Fraction),
    Name(String),
    Negated(Box<Expression>),
    Joined {
        left: Box<Expression>,
        operator: Operator,
        right: Box<Expression>,
    },
    Between {
        from: Box<Expression>,
        to: Box<Expression>,
    },
    Converted {
        of: Box<Expression>,
        into: Conversion,
    },
}

/// What digits with colons are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Meaning {
    Address,
    Length,
}

/// So many of a unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Quantity {
    pub(super) amount: Fraction,
    pub(super) unit: UnitWord,
    pub(super) span: Range<usize>,
}

/// A unit as it is named in a line; where its rate is left out, it is the line's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum UnitWord {
    Hours,
    Minutes,
    Seconds,
    Milliseconds,
    Frames(Option<Timebase>),
    Samples(Option<SampleRate>),
    Full,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Conversion {
    /// `in seconds`
    In(UnitWord),
    /// `as 25`: the moment or the real length stays.
    As(Timebase),
    /// `counted as 25`: the frames stay.
    CountedAs(Timebase),
}

/// More than this many open at once, or minus signs in a row, are refused, so that no line can
/// exhaust the stack.
const DEEPEST: usize = 32;
/// The longest line that is read.
const LONGEST: usize = 400;

/// The highest sample rate, in hertz.
const FASTEST: i64 = 10_000_000;

/// Reads a line; none where it is blank or holds a note only.
pub(super) fn statement(line: &str) -> Result<Option<Statement>, Fault> {
    check_length(line)?;
    check_depth(line)?;
    let mut pairs = Grammar::parse(Rule::line, line).map_err(|error| misplaced(line, &error))?;
    pairs
        .next()
        .and_then(|line| part(line, Rule::statement))
        .map(read_statement)
        .transpose()
}

/// The name that a line gives, even where the rest of it is wrong.
pub(super) fn name_given(line: &str) -> Option<String> {
    let mut pairs = Grammar::parse(Rule::beginning, line).ok()?;
    let naming = pairs.find(|part| part.as_rule() == Rule::naming)?;
    read_new_name(naming).ok().map(|(name, _)| name)
}

/// Reads what stands in a field for the sample rate.
pub(super) fn sample_rate(text: &str) -> Option<SampleRate> {
    let mut pairs = Grammar::parse(Rule::sample_rate_field, text).ok()?;
    read_sample_rate(pairs.next()?).ok()
}

/// Whether a word means something in a line.
fn is_reserved(word: &str) -> bool {
    Grammar::parse(Rule::reserved, word).is_ok_and(|found| found.as_str() == word)
}

fn check_length(line: &str) -> Result<(), Fault> {
    match line.char_indices().nth(LONGEST) {
        None => Ok(()),
        Some((at, _)) => Err(Wrong::TooLong {
            found: line.chars().count(),
            most: LONGEST,
        }
        .at(at..line.len())),
    }
}

/// Every `from` counts as open to the end of the line, which errs on the safe side.
fn check_depth(line: &str) -> Result<(), Fault> {
    let mut open = 0_usize;
    for (at, character) in line.char_indices().take_while(|&(_, c)| c != '#') {
        match character {
            '(' => open += 1,
            ')' => open = open.saturating_sub(1),
            'f' | 'F' if starts_with_from(&line[at..]) => open += 1,
            _ => {}
        }
        if open > DEEPEST {
            return Err(Wrong::TooDeep { most: DEEPEST }.at(at..at + 1));
        }
    }
    Ok(())
}

fn starts_with_from(text: &str) -> bool {
    text.get(..4)
        .is_some_and(|word| word.eq_ignore_ascii_case("from"))
}

/// Without the spaces that a rule takes in while it looks for what may follow.
fn span(pair: &Pair<'_, Rule>) -> Range<usize> {
    let start = pair.as_span().start();
    start..start + pair.as_str().trim_end().len()
}

fn part(pair: Pair<'_, Rule>, rule: Rule) -> Option<Pair<'_, Rule>> {
    pair.into_inner().find(|part| part.as_rule() == rule)
}

/// The next part, which the grammar promises.
fn next<'a>(parts: &mut Pairs<'a, Rule>, whole: &Range<usize>) -> Result<Pair<'a, Rule>, Fault> {
    parts.next().ok_or_else(|| incomplete(whole.clone()))
}

fn incomplete(span: Range<usize>) -> Fault {
    Wrong::Syntax {
        found: Found::End,
        expected: VALUE.to_owned(),
    }
    .at(span)
}

fn read_statement(pair: Pair<'_, Rule>) -> Result<Statement, Fault> {
    let whole = span(&pair);
    let (mut timebase, mut name, mut expression) = (None, None, None);
    for piece in pair.into_inner() {
        match piece.as_rule() {
            Rule::r#override => timebase = read_at_frame_rate(piece)?,
            Rule::naming => name = Some(read_new_name(piece)?),
            _ => expression = Some(read_expression(piece)?),
        }
    }
    Ok(Statement {
        timebase,
        name,
        expression: expression.ok_or_else(|| incomplete(whole))?,
    })
}

fn read_new_name(pair: Pair<'_, Rule>) -> Result<(String, Range<usize>), Fault> {
    let whole = span(&pair);
    let word = part(pair, Rule::new_name).ok_or_else(|| incomplete(whole))?;
    if is_reserved(word.as_str()) {
        return Err(Wrong::ReservedName(word.as_str().to_owned()).at(span(&word)));
    }
    Ok((word.as_str().to_owned(), span(&word)))
}

fn read_expression(pair: Pair<'_, Rule>) -> Result<Expression, Fault> {
    let whole = span(&pair);
    let mut parts = pair.into_inner();
    let mut expression = read_chain(next(&mut parts, &whole)?)?;
    for conversion in parts {
        let span = whole.start..span(&conversion).end;
        let node = Node::Converted {
            of: Box::new(expression),
            into: read_conversion(conversion)?,
        };
        expression = Expression { node, span };
    }
    Ok(expression)
}

/// A sum or a product: worked out from left to right.
fn read_chain(pair: Pair<'_, Rule>) -> Result<Expression, Fault> {
    let whole = span(&pair);
    let mut parts = pair.into_inner();
    let mut left = read_operand(next(&mut parts, &whole)?)?;
    while let Some(sign) = parts.next() {
        let operator = match sign.as_rule() {
            Rule::plus => Operator::Plus,
            Rule::minus => Operator::Minus,
            Rule::times => Operator::Times,
            _ => Operator::Over,
        };
        let right = read_operand(next(&mut parts, &whole)?)?;
        let span = left.span.start..right.span.end;
        let (left_side, right) = (Box::new(left), Box::new(right));
        let node = Node::Joined {
            left: left_side,
            operator,
            right,
        };
        left = Expression { node, span };
    }
    Ok(left)
}

fn read_operand(pair: Pair<'_, Rule>) -> Result<Expression, Fault> {
    match pair.as_rule() {
        Rule::product => read_chain(pair),
        _ => read_factor(pair),
    }
}

fn read_factor(pair: Pair<'_, Rule>) -> Result<Expression, Fault> {
    let whole = span(&pair);
    let mut signs = 0_usize;
    for piece in pair.into_inner() {
        if piece.as_rule() == Rule::minus {
            signs += 1;
            continue;
        }
        let value = read_value(piece)?;
        return Ok(if signs.is_multiple_of(2) {
            value
        } else {
            Expression {
                node: Node::Negated(Box::new(value)),
                span: whole,
            }
        });
    }
    Err(incomplete(whole))
}

fn read_value(pair: Pair<'_, Rule>) -> Result<Expression, Fault> {
    let whole = span(&pair);
    let node = match pair.as_rule() {
        Rule::group => {
            let inside = part(pair, Rule::expression).ok_or_else(|| incomplete(whole.clone()))?;
            read_expression(inside)?.node
        }
        Rule::between => read_between(pair)?,
        Rule::midnight => Node::Midnight,
        Rule::clock => read_clock(pair)?,
        Rule::length => Node::Length(
            pair.into_inner()
                .map(read_quantity)
                .collect::<Result<_, _>>()?,
        ),
        Rule::number => Node::Number(read_number(&pair)?),
        _ => Node::Name(pair.as_str().to_owned()),
    };
    Ok(Expression { node, span: whole })
}

fn read_between(pair: Pair<'_, Rule>) -> Result<Node, Fault> {
    let whole = span(&pair);
    let (mut from, mut to) = (None, None);
    for piece in pair.into_inner() {
        match piece.as_rule() {
            Rule::sum => from = Some(Box::new(read_chain(piece)?)),
            Rule::factor => to = Some(Box::new(read_factor(piece)?)),
            _ => {}
        }
    }
    match (from, to) {
        (Some(from), Some(to)) => Ok(Node::Between { from, to }),
        _ => Err(incomplete(whole)),
    }
}

fn read_clock(pair: Pair<'_, Rule>) -> Result<Node, Fault> {
    let (mut digits, mut meaning, mut timebase) = (String::new(), Meaning::Address, None);
    for piece in pair.into_inner() {
        match piece.as_rule() {
            Rule::digits => piece.as_str().clone_into(&mut digits),
            Rule::long => meaning = Meaning::Length,
            _ => timebase = read_at_frame_rate(piece)?,
        }
    }
    Ok(Node::Clock {
        digits,
        meaning,
        timebase,
    })
}

fn read_quantity(pair: Pair<'_, Rule>) -> Result<Quantity, Fault> {
    let whole = span(&pair);
    let mut parts = pair.into_inner();
    let amount = read_number(&next(&mut parts, &whole)?)?;
    let unit = read_unit(&mut parts, &whole)?;
    Ok(Quantity {
        amount,
        unit,
        span: whole,
    })
}

/// A unit, and the rate that may follow it.
fn read_unit(parts: &mut Pairs<'_, Rule>, whole: &Range<usize>) -> Result<UnitWord, Fault> {
    Ok(match next(parts, whole)?.as_rule() {
        Rule::hours => UnitWord::Hours,
        Rule::minutes => UnitWord::Minutes,
        Rule::seconds => UnitWord::Seconds,
        Rule::milliseconds => UnitWord::Milliseconds,
        Rule::full => UnitWord::Full,
        Rule::samples => UnitWord::Samples(parts.next().map(read_at_sample_rate).transpose()?),
        _ => UnitWord::Frames(parts.next().map(read_at_frame_rate).transpose()?.flatten()),
    })
}

fn read_conversion(pair: Pair<'_, Rule>) -> Result<Conversion, Fault> {
    let whole = span(&pair);
    let mut parts = pair.into_inner();
    match next(&mut parts, &whole)?.as_rule() {
        Rule::in_ => Ok(Conversion::In(read_unit(&mut parts, &whole)?)),
        Rule::as_ => Ok(Conversion::As(read_frame_rate(next(&mut parts, &whole)?)?)),
        _ => {
            next(&mut parts, &whole)?;
            read_frame_rate(next(&mut parts, &whole)?).map(Conversion::CountedAs)
        }
    }
}

fn read_number(pair: &Pair<'_, Rule>) -> Result<Fraction, Fault> {
    decimal::read(pair.as_str()).ok_or_else(|| Wrong::TooManyDigits.at(span(pair)))
}

fn read_at_frame_rate(pair: Pair<'_, Rule>) -> Result<Option<Timebase>, Fault> {
    part(pair, Rule::frame_rate)
        .map(read_frame_rate)
        .transpose()
}

fn read_frame_rate(pair: Pair<'_, Rule>) -> Result<Timebase, Fault> {
    let whole = span(&pair);
    let mut parts = pair.into_inner();
    let figure = next(&mut parts, &whole)?;
    let rate: Rate = figure
        .as_str()
        .parse()
        .map_err(|_| Wrong::FrameRate(figure.as_str().to_owned()).at(span(&figure)))?;
    let count = match parts.next().map(|word| word.as_rule()) {
        Some(Rule::drop) => rate
            .drop_count()
            .ok_or_else(|| Wrong::NoDropFrame(rate).at(whole.clone()))?,
        _ => rate.count(),
    };
    Timebase::new(rate, count).map_err(|_| Wrong::NoDropFrame(rate).at(whole))
}

fn read_at_sample_rate(pair: Pair<'_, Rule>) -> Result<SampleRate, Fault> {
    let whole = span(&pair);
    part(pair, Rule::sample_rate)
        .ok_or_else(|| incomplete(whole))
        .and_then(read_sample_rate)
}

fn read_sample_rate(pair: Pair<'_, Rule>) -> Result<SampleRate, Fault> {
    let (whole, text) = (span(&pair), pair.as_str().trim().to_owned());
    let wrong = || Wrong::SampleRate(text.clone()).at(whole.clone());
    let mut parts = pair.into_inner();
    let figure = read_number(&next(&mut parts, &whole)?)?;
    let words: Vec<Rule> = parts.map(|word| word.as_rule()).collect();
    let thousands = if words.contains(&Rule::kilohertz) {
        1000
    } else {
        1
    };
    let hertz = figure
        .checked_mul(Fraction::whole(thousands))
        .ok_or_else(wrong)?;
    if hertz > Fraction::whole(FASTEST) {
        return Err(wrong());
    }
    let rate = SampleRate::new(hertz).map_err(|_| wrong())?;
    let pulled = match words.last() {
        Some(Rule::pulled_down) => rate.pulled_down(),
        Some(Rule::pulled_up) => rate.pulled_up(),
        _ => Ok(rate),
    };
    pulled.map_err(|_| wrong())
}

/// What pest found, in words: where it got stuck, and what could have stood there.
fn misplaced(line: &str, error: &pest::error::Error<Rule>) -> Fault {
    let at = match error.location {
        InputLocation::Pos(at) | InputLocation::Span((at, _)) => at,
    };
    let rules = match &error.variant {
        ErrorVariant::ParsingError { positives, .. } => positives.as_slice(),
        ErrorVariant::CustomError { .. } => &[],
    };
    let found = line.get(at..).map_or("", word);
    Wrong::Syntax {
        found: match found {
            "" | "#" => Found::End,
            "," => Found::Comma,
            other => Found::Other(other.to_owned()),
        },
        expected: expected(rules, is_reserved(word(line.trim_start()))),
    }
    .at(at..at + found.len())
}

/// The word, the figure or the single character that a text begins with.
fn word(text: &str) -> &str {
    let end = text
        .find(|c: char| !c.is_alphanumeric())
        .unwrap_or(text.len());
    let first = text.chars().next().map_or(0, char::len_utf8);
    &text[..end.max(first)]
}

const VALUE: &str = "an address, a length, a number, a name, from or (";

/// What any of some rules would have let stand: "a unit or +".
fn expected(rules: &[Rule], begins_with_keyword: bool) -> String {
    let mut phrases: Vec<&str> = Vec::new();
    for &rule in rules {
        let phrase = phrase(rule);
        let is_known = phrases.contains(&phrase) || phrase.is_empty();
        let is_no_name = rule == Rule::equals && begins_with_keyword;
        if !(is_known || is_no_name) {
            phrases.push(phrase);
        }
    }
    phrases.sort_by_key(|&phrase| ORDER.iter().position(|&other| other == phrase));
    if phrases.is_empty() {
        phrases.push(VALUE);
    }
    alternatives(&phrases)
}

const UNIT: &str = "a unit (h, min, s, ms, frames, samples)";
const SIGN: &str = "a sign (+ − * /)";
const CONVERSION: &str = "a conversion (in, as, counted as)";
const END: &str = "the end of the line";

/// The order in which phrases are said: what is likeliest first.
const ORDER: [&str; 7] = [VALUE, "a figure", UNIT, "full", SIGN, CONVERSION, END];

fn phrase(rule: Rule) -> &'static str {
    match rule {
        Rule::plus | Rule::minus | Rule::times | Rule::over => SIGN,
        Rule::hours
        | Rule::minutes
        | Rule::seconds
        | Rule::milliseconds
        | Rule::frames
        | Rule::samples => UNIT,
        Rule::conversion | Rule::in_ => CONVERSION,
        Rule::EOI => END,
        Rule::note | Rule::new_name => "",
        Rule::rate_figure => "a frame rate, such as 29.97",
        Rule::number => "a figure",
        Rule::equals => "=",
        Rule::colon => ":",
        Rule::close => ")",
        Rule::to => "to",
        Rule::at => "at",
        Rule::as_ => "as",
        Rule::long => "long",
        Rule::full => "full",
        Rule::drop | Rule::non_drop => "drop",
        Rule::pulled_down | Rule::pulled_up => "pulled down, pulled up",
        Rule::hertz | Rule::kilohertz => "Hz, kHz",
        _ => VALUE,
    }
}
