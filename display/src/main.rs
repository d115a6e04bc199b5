//! The program `fivemark-display`; all of it is in the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    fivemark_display::run::main()
}
