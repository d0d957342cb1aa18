//! Dietell: tell coin dies apart from photographs.

use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments = std::env::args_os().skip(1);
    dietell::headless::run(
        arguments,
        &mut std::io::stdout().lock(),
        &mut std::io::stderr().lock(),
    )
    .into()
}
