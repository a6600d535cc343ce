//! Tells the tests which machine they are built for.

fn main() {
    let target = std::env::var("TARGET").unwrap_or_default();
    println!("cargo::rustc-env=COLDCHECK_HOST={target}");
    println!("cargo::rerun-if-changed=build.rs");
}
