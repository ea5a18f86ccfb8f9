//! Calls the command line.

use std::process::ExitCode;

fn main() -> ExitCode {
    sottile::cli::run()
}
