//! Calls the command line.

use std::process::ExitCode;

fn main() -> ExitCode {
    sottile::inside::run()
}
