//! Compiles the window's Slint files.

fn main() {
    #[cfg(feature = "window")]
    window();
}

#[cfg(feature = "window")]
fn window() {
    let debug = std::env::var("PROFILE").is_ok_and(|profile| profile == "debug");
    let configuration = slint_build::CompilerConfiguration::new()
        .with_style("fluent".into())
        .with_debug_info(debug);
    if let Err(error) = slint_build::compile_with_config("ui/app.slint", configuration) {
        eprintln!("{error}");
        std::process::exit(1);
    }
}
