//! A line cut into time addresses and what stands beside them.

/// A piece of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Token<'a> {
    /// Four fields of digits: hours, minutes, seconds, frames.
    Address(&'a str),
    /// Digits and separators that are not four fields: a time of some other sort, or a slip.
    Almost(&'a str),
    /// Anything else.
    Label(&'a str),
}

/// Cuts a line at tabs, commas, blanks and semicolons; a semicolon inside a drop-frame address
/// stays there.
pub(super) fn tokens(line: &str) -> Vec<Token<'_>> {
    let between = |c: char| c.is_whitespace() || matches!(c, ',' | '"' | '|');
    line.split(between)
        .flat_map(pieces)
        .filter(|piece| !piece.is_empty())
        .map(token)
        .collect()
}

/// Cuts at semicolons that end a piece.
fn pieces(word: &str) -> Vec<&str> {
    let (mut rest, mut pieces) = (word, Vec::new());
    loop {
        let end = address_length(rest)
            .or_else(|| rest.find(';'))
            .unwrap_or(rest.len());
        let (piece, behind) = rest.split_at(end);
        pieces.push(piece);
        match behind.strip_prefix(';') {
            Some(next) => rest = next,
            None => return pieces,
        }
    }
}

fn token(piece: &str) -> Token<'_> {
    let digit_or_separator = |c: char| c.is_ascii_digit() || matches!(c, ':' | ';' | '.');
    if address_length(piece) == Some(piece.len()) {
        Token::Address(piece)
    } else if piece.contains(':')
        && piece.chars().any(|c| c.is_ascii_digit())
        && piece
            .trim_start_matches(['-', '−', '+'])
            .chars()
            .all(digit_or_separator)
    {
        Token::Almost(piece)
    } else {
        Token::Label(piece)
    }
}

/// How long the address is that stands at the beginning of a text and ends with it or before a
/// semicolon.
///
/// Hours, minutes and seconds have colons between them, and before the frames stands a colon, a
/// semicolon or a point; or all three are semicolons, and then each field has its two digits, so
/// that `7;01:00:00;02` is a number and an address.
fn address_length(text: &str) -> Option<usize> {
    let mut at = 0;
    let mut widths = [0; 4];
    let mut separators = [' '; 3];
    for field in 0..4 {
        let digits = text[at..].bytes().take_while(u8::is_ascii_digit).count();
        *widths.get_mut(field)? = digits;
        at += digits;
        if let Some(separator) = separators.get_mut(field) {
            *separator = text[at..]
                .chars()
                .next()
                .filter(|c| matches!(c, ':' | ';' | '.'))?;
            at += 1;
        }
    }
    let [hours, minutes, seconds, frames] = widths;
    let fields = (1..=5).contains(&hours)
        && (1..=2).contains(&minutes)
        && (1..=2).contains(&seconds)
        && (1..=3).contains(&frames);
    let written = match separators {
        [':', ':', _] => true,
        [';', ';', ';'] => [hours, minutes, seconds] == [2; 3] && frames >= 2,
        _ => false,
    };
    let ended = text[at..].is_empty() || text[at..].starts_with(';');
    (fields && written && ended).then_some(at)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(line: &str) -> Vec<String> {
        tokens(line)
            .into_iter()
            .map(|token| match token {
                Token::Address(text) => format!("A {text}"),
                Token::Almost(text) => format!("? {text}"),
                Token::Label(text) => format!("L {text}"),
            })
            .collect()
    }

    #[test]
    fn semicolons_separate_unless_they_are_inside_an_address() {
        assert_eq!(
            shown("01:00:00;02;01:00:10;02"),
            ["A 01:00:00;02", "A 01:00:10;02"]
        );
        assert_eq!(
            shown("ferry;01:00:00:02;01:00:10:02"),
            ["L ferry", "A 01:00:00:02", "A 01:00:10:02"]
        );
        assert_eq!(
            shown("7;01:00:00;02;01:00:10;02;"),
            ["L 7", "A 01:00:00;02", "A 01:00:10;02"]
        );
        assert_eq!(
            shown("01;00;00;02 01;00;10;02"),
            ["A 01;00;00;02", "A 01;00;10;02"]
        );
        assert_eq!(shown("7;01;00;00;02"), ["L 7", "A 01;00;00;02"]);
    }

    #[test]
    fn tabs_commas_quotes_and_blanks_separate() {
        assert_eq!(
            shown("\"pier, wide\",1:00:00:00,1:00:10:00"),
            ["L pier", "L wide", "A 1:00:00:00", "A 1:00:10:00"]
        );
        assert_eq!(
            shown("001  A001C003 V  C  01:00:10.00\t01:00:20.00").len(),
            6
        );
    }

    #[test]
    fn what_is_almost_an_address_is_told_apart() {
        assert_eq!(
            shown("01:00:00 10:00 -01:00:00:00 1:2:3:4:5 10.1.2.3 FCM: 25:11:26x"),
            [
                "? 01:00:00",
                "? 10:00",
                "? -01:00:00:00",
                "? 1:2:3:4:5",
                "L 10.1.2.3",
                "L FCM:",
                "L 25:11:26x"
            ]
        );
    }
}
