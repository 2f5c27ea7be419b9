//! Writes the JavaScript and the type declarations that belong to a compiled module.
//!
//! `plumbline-glue MODULE.wasm FOLDER`: the work of the `wasm-bindgen` program, as a program of
//! this workspace, so that `Cargo.lock` pins its version and nothing has to be installed.

use std::env;
use std::path::Path;
use std::process::ExitCode;
use wasm_bindgen_cli_support::Bindgen;

fn main() -> ExitCode {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let [module, folder] = arguments.as_slice() else {
        eprintln!("usage: plumbline-glue MODULE.wasm FOLDER");
        return ExitCode::from(2);
    };
    match generate(Path::new(module), Path::new(folder)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("plumbline-glue: {module}: {error:#}");
            ExitCode::FAILURE
        }
    }
}

/// Writes the module and its glue for browsers into `folder`.
///
/// The default module path stays in: the page's bundler finds the module by it.
fn generate(module: &Path, folder: &Path) -> Result<(), Box<dyn std::error::Error>> {
    Bindgen::new()
        .input_path(module)
        .out_name("plumbline")
        .web(true)?
        .typescript(true)
        .ts_typed_array_buffers(true)
        .omit_default_module_path(false)
        .remove_name_section(true)
        .remove_producers_section(true)
        .generate(folder)?;
    Ok(())
}
