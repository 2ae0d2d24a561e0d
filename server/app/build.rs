//! Builds the web part with Node, into the folder from which the binary embeds it.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// The oldest Node that the web part's tools run on.
const NODE: (u32, u32) = (20, 19);

fn main() {
    // Read when the script runs, not when it is compiled: a script compiled in another checkout must not build
    // that checkout.
    let Some(here) = std::env::var_os("CARGO_MANIFEST_DIR") else {
        println!("cargo::error=cargo has not set CARGO_MANIFEST_DIR");
        std::process::exit(1);
    };
    let web = Path::new(&here).join("../../web");
    for name in [
        "src",
        "index.html",
        "own.html",
        "class.html",
        "practice.html",
        "desk.html",
        "wall.html",
        "planner.html",
        "sign-in.html",
        "public",
    ] {
        println!("cargo::rerun-if-changed={}", web.join(name).display());
    }
    for name in ["package.json", "package-lock.json", "vite.config.ts", "tsconfig.json"] {
        println!("cargo::rerun-if-changed={}", web.join(name).display());
    }
    if let Err(message) = build(&web) {
        for line in message.lines() {
            println!("cargo::error={line}");
        }
        std::process::exit(1);
    }
}

fn build(web: &Path) -> Result<(), String> {
    check_node()?;
    let out = PathBuf::from(std::env::var_os("OUT_DIR").ok_or("cargo has not set OUT_DIR")?).join("web");
    let lock = web.join("package-lock.json");
    let installed = web.join("node_modules/.package-lock.json");
    let newer = |a: &Path, b: &Path| {
        let time = |path: &Path| path.metadata().and_then(|m| m.modified());
        matches!((time(a), time(b)), (Ok(a), Ok(b)) if a > b)
    };
    if !installed.exists() || newer(&lock, &installed) {
        run(Command::new("npm")
            .args(["ci", "--ignore-scripts", "--no-audit", "--no-fund"])
            .current_dir(web))?;
    }
    let vite = web.join("node_modules/vite/bin/vite.js");
    for part in ["production", "participants", "practice"] {
        let args = ["build", "--mode", part, "--outDir"];
        run(Command::new("node").arg(&vite).args(args).arg(&out).current_dir(web))?;
    }
    Ok(())
}

fn check_node() -> Result<(), String> {
    let wanted = format!("building the web part takes Node {}.{} or newer, with its npm", NODE.0, NODE.1);
    let output = Command::new("node").arg("--version").output();
    let Ok(Output { stdout, .. }) = output else {
        return Err(format!(
            "{wanted}, but `node` was not found: install it from nodejs.org or with your system's packages"
        ));
    };
    let found = String::from_utf8_lossy(&stdout).trim().to_owned();
    let mut numbers = found.trim_start_matches('v').split('.').map_while(|n| n.parse::<u32>().ok());
    match (numbers.next(), numbers.next()) {
        (Some(major), Some(minor)) if (major, minor) >= NODE => Ok(()),
        _ => Err(format!("{wanted}, but this is {found}: install a newer version")),
    }
}

fn run(command: &mut Command) -> Result<(), String> {
    let output = command.output().map_err(|e| format!("cannot run {command:?}: {e}"))?;
    if output.status.success() {
        return Ok(());
    }
    let text = [output.stdout, output.stderr].concat();
    Err(format!("{command:?} failed:\n{}", String::from_utf8_lossy(&text)))
}
