//! One or two angles read from text: signs, hemisphere letters, degrees, minutes, seconds and decimal commas.
//!
//! In comes text; out come angles that are not yet checked against the Earth, or the fault to be said of the text.

use super::{AngleForm, CoordinateFault, Written};

/// Which of the two an angle says it is, by its letter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Axis {
    Latitude,
    Longitude,
}

/// An angle as typed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Angle {
    /// North and east positive.
    pub(super) degrees: f64,
    pub(super) written: Written,
    pub(super) axis: Option<Axis>,
}

/// A fault that still wants the text it is about.
type Fault = fn(String) -> CoordinateFault;

#[derive(Debug, Clone, Copy, PartialEq)]
enum Token {
    Number(f64, u8),
    Mark(AngleForm),
    Sign { negative: bool },
    Letter(Axis, bool),
    Parting,
}

/// What a comma between two digits is.
#[derive(Clone, Copy, PartialEq)]
enum Comma {
    Decimal,
    Parting,
}

/// Reads one angle; a comma is its decimal sign.
pub(super) fn angle(text: &str) -> Result<Angle, CoordinateFault> {
    let text = text.trim();
    tokens(text, Comma::Decimal).and_then(|t| half(&t)).map_err(|fault| fault(text.to_owned()))
}

/// Reads two angles from one text, in the order they are written.
pub(super) fn halves(text: &str) -> Result<[Angle; 2], CoordinateFault> {
    let text = text.trim();
    let read = |comma| tokens(text, comma).and_then(|t| two(&t));
    let result = if text.contains('.') {
        read(Comma::Parting)
    } else if text.contains([';', '/']) {
        read(Comma::Decimal)
    } else {
        match (read(Comma::Decimal), read(Comma::Parting)) {
            (decimal, Ok(parted)) if between_digits(text) => match decimal {
                Err(fault) if !matches!(fault(String::new()), CoordinateFault::OneNumber(_)) => Ok(parted),
                _ => Err(CoordinateFault::Comma as Fault),
            },
            (decimal, _) => decimal,
        }
    };
    result.map_err(|fault| fault(text.to_owned()))
}

fn between_digits(text: &str) -> bool {
    text.as_bytes().windows(3).any(|w| w[1] == b',' && w[0].is_ascii_digit() && w[2].is_ascii_digit())
}

fn tokens(text: &str, comma: Comma) -> Result<Vec<Token>, Fault> {
    let mut tokens = Vec::new();
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let mut taken = c.len_utf8();
        match c {
            c if c.is_whitespace() => {}
            '0'..='9' => {
                let (number, length) = number(rest, comma).ok_or(CoordinateFault::Unreadable as Fault)?;
                tokens.push(number);
                taken = length;
            }
            '-' | '−' | '–' | '‐' | '‑' => tokens.push(Token::Sign { negative: true }),
            '+' => tokens.push(Token::Sign { negative: false }),
            '°' | 'º' | '˚' => tokens.push(Token::Mark(AngleForm::Degrees)),
            '\'' | '′' | '’' | '‘' | '´' | 'ʹ' => {
                let doubled = rest[taken..].starts_with(c);
                taken += if doubled { c.len_utf8() } else { 0 };
                tokens.push(Token::Mark(if doubled { AngleForm::Seconds } else { AngleForm::Minutes }));
            }
            '"' | '″' | '”' | '“' | '„' | 'ʺ' => tokens.push(Token::Mark(AngleForm::Seconds)),
            'N' | 'n' => tokens.push(Token::Letter(Axis::Latitude, false)),
            'S' | 's' => tokens.push(Token::Letter(Axis::Latitude, true)),
            'E' | 'e' => tokens.push(Token::Letter(Axis::Longitude, false)),
            'W' | 'w' => tokens.push(Token::Letter(Axis::Longitude, true)),
            'O' | 'o' => return Err(CoordinateFault::LetterO),
            ',' | ';' | '/' => tokens.push(Token::Parting),
            _ => return Err(CoordinateFault::Unreadable),
        }
        rest = &rest[taken..];
    }
    Ok(tokens)
}

/// A number at the start of the text, and its length in bytes. At most 16 digits, which a double holds.
fn number(text: &str, comma: Comma) -> Option<(Token, usize)> {
    let bytes = text.as_bytes();
    let digits = |from: usize| bytes[from..].iter().take_while(|b| b.is_ascii_digit()).count();
    let whole = digits(0);
    let pointed = match bytes.get(whole) {
        Some(b'.') => true,
        Some(b',') => comma == Comma::Decimal && digits(whole + 1) > 0,
        _ => false,
    };
    let decimals = if pointed { digits(whole + 1) } else { 0 };
    let end = if pointed { whole + 1 + decimals } else { whole };
    let again = matches!(bytes.get(end), Some(b'.' | b',')) && pointed && digits(end + 1) > 0;
    // A second point within one number; a comma after a decimal point may part two numbers.
    let torn = again && (bytes[end] == b'.' || comma == Comma::Decimal);
    if torn || whole + decimals > 16 || (pointed && decimals == 0) {
        return None;
    }
    let value = text[..end].replace(',', ".").parse().ok()?;
    Some((Token::Number(value, decimals as u8), end))
}

/// Parts tokens into two angles.
fn two(tokens: &[Token]) -> Result<[Angle; 2], Fault> {
    let at = parting(tokens)?;
    let second = if tokens[at] == Token::Parting { &tokens[at + 1..] } else { &tokens[at..] };
    Ok([half(&tokens[..at])?, half(second)?])
}

/// Where the second angle begins, or the parting before it.
fn parting(tokens: &[Token]) -> Result<usize, Fault> {
    let places = |wanted: fn(&Token) -> bool| -> Vec<usize> {
        tokens.iter().enumerate().filter(|(_, t)| wanted(t)).map(|(i, _)| i).collect()
    };
    let numbers = places(|t| matches!(t, Token::Number(..)));
    if numbers.is_empty() {
        return Err(CoordinateFault::Unreadable);
    }
    match places(|t| *t == Token::Parting)[..] {
        [] => {}
        [at] => return Ok(at),
        _ => return Err(CoordinateFault::Unreadable),
    }
    let last = tokens.len() - 1;
    match places(|t| matches!(t, Token::Letter(..)))[..] {
        [0, second] if second < last => return Ok(second),
        [first, _] if first > 0 => return Ok(first + 1),
        [] => {}
        // One letter at an end belongs to the angle there.
        [only] if only == 0 || only == last => {}
        _ => return Err(CoordinateFault::Letters),
    }
    let begins = match places(|t| *t == Token::Mark(AngleForm::Degrees))[..] {
        [] => match numbers.len() {
            1 => return Err(CoordinateFault::OneNumber),
            n @ (2 | 4 | 6) => numbers[n / 2],
            _ => return Err(CoordinateFault::Unreadable),
        },
        [_] => return Err(CoordinateFault::OneNumber),
        [_, second] if second > 0 && numbers.contains(&(second - 1)) => second - 1,
        _ => return Err(CoordinateFault::Unreadable),
    };
    let signed = begins > 0 && matches!(tokens[begins - 1], Token::Sign { .. });
    Ok(if signed { begins - 1 } else { begins })
}

/// One angle: a letter before or after, a sign, then degrees, minutes and seconds as far as they go.
fn half(tokens: &[Token]) -> Result<Angle, Fault> {
    let (mut rest, mut axis, mut negative) = (tokens, None, false);
    if let [Token::Letter(a, n), inner @ ..] | [inner @ .., Token::Letter(a, n)] = rest {
        (rest, axis, negative) = (inner, Some(*a), *n);
    }
    if let [Token::Sign { negative: n }, inner @ ..] = rest {
        if axis.is_some() {
            return Err(CoordinateFault::SignAndLetter);
        }
        (rest, negative) = (inner, *n);
    }
    let mut degrees = 0.0;
    let mut written = None;
    for (form, unit) in [(AngleForm::Degrees, 1.0), (AngleForm::Minutes, 60.0), (AngleForm::Seconds, 3600.0)]
    {
        let [Token::Number(value, decimals), after @ ..] = rest else { break };
        if written.is_some_and(|w: Written| w.decimals > 0) {
            return Err(CoordinateFault::Unreadable);
        }
        if form != AngleForm::Degrees && *value >= 60.0 {
            return Err(CoordinateFault::Sixty);
        }
        degrees += value / unit;
        written = Some(Written { form, decimals: *decimals });
        rest = match after {
            [Token::Mark(mark), after @ ..] if *mark == form => after,
            after => after,
        };
    }
    let written = written.filter(|_| rest.is_empty());
    let written = written.ok_or(if rest.iter().any(|t| matches!(t, Token::Letter(..))) {
        CoordinateFault::Letters as Fault
    } else {
        CoordinateFault::Unreadable
    })?;
    Ok(Angle { degrees: if negative { -degrees } else { degrees }, written, axis })
}
