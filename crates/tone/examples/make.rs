//! Makes a tone, for other programs to read.
//!
//! `cargo run --release -q -p plumbline-tone --example make -- key=value… > FILE.wav`
//!
//! The keys are the fields of the settings; what is not given has its default. Settings that are
//! not right are told on standard error, and the exit status is 2. With `read-back` among the
//! arguments a file is read from standard input instead, and what it comes to is written to
//! standard output; the exit status is 1 where it is not as asked.

use std::io::{self, Read, Write};
use std::process::ExitCode;

use plumbline_tone::{AsAsked, Plan, Settings};

type Failure = Box<dyn std::error::Error>;

fn main() -> Result<ExitCode, Failure> {
    let (orders, fields): (Vec<String>, Vec<String>) = std::env::args()
        .skip(1)
        .partition(|argument| argument == "read-back");
    let plan = match settings(&fields).map(|settings| Plan::new(&settings)) {
        Ok(Ok(plan)) => plan,
        Ok(Err(problems)) => {
            for problem in problems {
                eprintln!("{}: {} {}", problem.field, problem.text, problem.remedy);
            }
            return Ok(ExitCode::from(2));
        }
        Err(argument) => {
            eprintln!("{argument}: not key=value with a key of the settings");
            return Ok(ExitCode::from(2));
        }
    };
    if orders.is_empty() {
        make(&plan)?;
        return Ok(ExitCode::SUCCESS);
    }
    read_back(&plan)
}

/// The defaults but for the fields that are given; or the argument that is none.
fn settings(arguments: &[String]) -> Result<Settings, String> {
    let mut all = serde_json::to_value(Settings::default()).unwrap_or_default();
    for argument in arguments {
        let field = argument
            .split_once('=')
            .and_then(|(key, typed)| Some((all.get_mut(key)?, typed)));
        let (field, typed) = field.ok_or_else(|| argument.clone())?;
        *field = typed.into();
    }
    serde_json::from_value(all).map_err(|error| error.to_string())
}

fn make(plan: &Plan) -> Result<(), Failure> {
    let (mut writer, mut piece) = (plan.file()?, Vec::new());
    let mut out = io::stdout().lock();
    while writer.next_piece(&mut piece)? {
        out.write_all(&piece)?;
    }
    Ok(out.flush()?)
}

fn read_back(plan: &Plan) -> Result<ExitCode, Failure> {
    let mut read_back = plan.read_back();
    let mut block = vec![0; 1 << 20];
    let mut input = io::stdin().lock();
    loop {
        let count = input.read(&mut block)?;
        let Some(bytes) = block.get(..count).filter(|bytes| !bytes.is_empty()) else {
            break;
        };
        read_back.push(bytes);
    }
    let outcome = read_back.finish();
    println!("{} {}", outcome.text, outcome.remedy);
    Ok(match outcome.as_asked {
        AsAsked::Yes => ExitCode::SUCCESS,
        AsAsked::No => ExitCode::FAILURE,
    })
}
