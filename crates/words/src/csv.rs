//! Rows of comma-separated values that a spreadsheet can be trusted with.

/// One row (RFC 4180), without the end of its line.
///
/// A cell that a spreadsheet would take for a formula begins with an apostrophe.
///
/// ```
/// use plumbline_words::csv_row;
/// assert_eq!(csv_row(["ferry, wide", "250", "=A1"]), "\"ferry, wide\",250,'=A1");
/// ```
pub fn csv_row<'a>(cells: impl IntoIterator<Item = &'a str>) -> String {
    let cells: Vec<String> = cells.into_iter().map(quoted).collect();
    cells.join(",")
}

fn quoted(cell: &str) -> String {
    let formula = cell.starts_with(['=', '+', '@', '\t', '\r'])
        || (cell.starts_with('-') && cell.parse::<f64>().is_err());
    let cell = if formula {
        format!("'{cell}")
    } else {
        cell.to_owned()
    };
    if cell.contains(['"', ',', '\n', '\r']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_quoted_and_formulas_disarmed() {
        assert_eq!(quoted("plain"), "plain");
        assert_eq!(quoted("a,b"), "\"a,b\"");
        assert_eq!(quoted("say \"ah\""), "\"say \"\"ah\"\"\"");
        assert_eq!(quoted("=1+1"), "'=1+1");
        assert_eq!(quoted("-3.5"), "-3.5");
        assert_eq!(quoted("-cmd"), "'-cmd");
    }
}
