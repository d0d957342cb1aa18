//! Dietell: tell coin dies apart from photographs.

use std::process::ExitCode;

fn main() -> ExitCode {
    if let Some(settings) = dietell::specimen::default_settings_file()
        && let Some(folder) = settings.parent()
    {
        dietell::files::log::start(folder);
    }
    let arguments = std::env::args_os().skip(1);
    dietell::headless::run(
        arguments,
        &mut std::io::stdout().lock(),
        &mut std::io::stderr().lock(),
    )
    .into()
}
