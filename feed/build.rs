//! The pages are embedded: a file that is new or gone among them means a new build.

fn main() {
    println!("cargo:rerun-if-changed=pages");
}
