//! Answers what the parts of Work out are asked, as JSON, so that other programs can check them.
//!
//! | call | does |
//! |---|---|
//! | `sums PART KEY=VALUE …` | answers one question |
//! | `sums` | answers questions from standard input, one a line: the part and the fields, with tabs between them |
//!
//! PART is `address`, `clocks`, `rows`, `speeds`, `user-bits` or `worksheet`; the keys are the
//! names of the form's fields, and what is left out has its default. In a value `\n` and `\t`
//! stand for the end of a line and a tab. With `--values` before all else an answer is
//! `{"title of a table": {"label": "value"}}` and no more; a worksheet's is the list of what its
//! lines come to, empty where a line is not right.
//!
//! `cargo run -q -p plumbline-sums --example sums address text=01:00:00:00`

use std::error::Error;
use std::io::{self, BufRead, BufWriter, Write};

use plumbline_sums::worksheet::worksheet;
use plumbline_sums::{Answer, RowsAnswer, Table, address, clocks, rows, speeds, user_bits};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value, to_value};

#[derive(Clone, Copy)]
enum Show {
    All,
    Values,
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut words: Vec<String> = std::env::args().skip(1).collect();
    let show = if words.first().is_some_and(|word| word == "--values") {
        words.remove(0);
        Show::Values
    } else {
        Show::All
    };
    let mut answers = BufWriter::new(io::stdout().lock());
    if words.is_empty() {
        for line in io::stdin().lock().lines() {
            let line = line?;
            let words: Vec<&str> = line.split('\t').collect();
            writeln!(answers, "{}", answer(&words, show)?)?;
        }
    } else {
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        writeln!(answers, "{}", answer(&words, show)?)?;
    }
    Ok(answers.flush()?)
}

fn answer(words: &[&str], show: Show) -> Result<Value, Box<dyn Error>> {
    let [part, fields @ ..] = words else {
        return Err("no part was named".into());
    };
    let in_tables = |answer: &Answer| values(&answer.tables);
    match *part {
        "address" => answered(fields, show, address, in_tables),
        "clocks" => answered(fields, show, clocks, in_tables),
        "rows" => answered(fields, show, rows, |answer: &RowsAnswer| {
            values(&answer.tables)
        }),
        "speeds" => answered(fields, show, speeds, in_tables),
        "user-bits" => answered(fields, show, user_bits, in_tables),
        "worksheet" => answered(fields, show, worksheet, |worked| {
            let lines = worked.lines.iter().map(|line| line.value.clone().into());
            Value::Array(lines.collect())
        }),
        _ => Err(format!("no such part: {part}").into()),
    }
}

fn answered<F: DeserializeOwned + Serialize + Default, A: Serialize>(
    fields: &[&str],
    show: Show,
    sum: impl Fn(&F) -> A,
    values: impl Fn(&A) -> Value,
) -> Result<Value, Box<dyn Error>> {
    let answer = sum(&form(fields)?);
    Ok(match show {
        Show::All => to_value(&answer)?,
        Show::Values => values(&answer),
    })
}

/// The default form with these fields in it.
fn form<F: DeserializeOwned + Serialize + Default>(fields: &[&str]) -> Result<F, Box<dyn Error>> {
    let mut form = to_value(F::default())?;
    for field in fields {
        let (key, value) = field.split_once('=').ok_or("a field is KEY=VALUE")?;
        let place = form
            .get_mut(key)
            .ok_or_else(|| format!("no such field: {key}"))?;
        *place = Value::String(value.replace("\\n", "\n").replace("\\t", "\t"));
    }
    Ok(serde_json::from_value(form)?)
}

fn values(tables: &[Table]) -> Value {
    let table = |table: &Table| {
        let rows = table
            .rows
            .iter()
            .map(|row| (row.label.clone(), row.value.clone().into()));
        (table.title.clone(), Value::Object(rows.collect()))
    };
    tables.iter().map(table).collect::<Map<_, _>>().into()
}
