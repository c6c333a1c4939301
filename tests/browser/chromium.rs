//! A browser without a window, without a network and with a profile that is thrown away.

use std::io::Read as _;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Where Debian's package puts it.
const BROWSER: &str = "/usr/bin/chromium";
/// After this long something is wrong.
const LONGEST: Duration = Duration::from_secs(240);

/// What a run of the browser wrote.
pub struct Ran {
    /// On its standard output, such as a page's elements.
    pub out: String,
    /// What pages wrote on their console.
    pub console: Vec<String>,
}

/// Runs the browser on a file. It resolves no name, so that nothing can be fetched.
pub fn run(options: &[&str], file: &Path) -> Ran {
    assert!(
        Path::new(BROWSER).exists(),
        "{BROWSER} is missing: `.ci/set-up` installs it"
    );
    let profile = tempfile::tempdir().unwrap();
    let mut child = Command::new(BROWSER)
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--hide-scrollbars",
            "--host-resolver-rules=MAP * ~NOTFOUND",
            "--enable-logging=stderr",
        ])
        .arg(format!("--user-data-dir={}", profile.path().display()))
        .args(options)
        .arg(format!("file://{}", file.display()))
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let (mut out, mut err) = (child.stdout.take().unwrap(), child.stderr.take().unwrap());
    let out = std::thread::spawn(move || {
        let mut text = Vec::new();
        out.read_to_end(&mut text).unwrap();
        text
    });
    let err = std::thread::spawn(move || {
        let mut text = Vec::new();
        err.read_to_end(&mut text).unwrap();
        text
    });
    let begun = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if begun.elapsed() > LONGEST {
            child.kill().unwrap();
            panic!(
                "{BROWSER} takes longer than {LONGEST:?} on {}",
                file.display()
            );
        }
        std::thread::sleep(Duration::from_millis(50));
    };
    let out = String::from_utf8_lossy(&out.join().unwrap()).into_owned();
    let err = String::from_utf8_lossy(&err.join().unwrap()).into_owned();
    assert!(status.success(), "{BROWSER}: {status}\n{err}");
    let console = err.lines().filter(|line| line.contains(":CONSOLE"));
    Ran {
        console: console.map(str::to_owned).collect(),
        out,
    }
}

/// A copy of a page in which a script runs once it is loaded, and may write into `say(…)`; the page
/// itself allows no script.
pub fn instrumented(page: &str, script: &str) -> String {
    let from = page
        .find("<meta http-equiv=\"Content-Security-Policy\"")
        .unwrap();
    let to = from + page[from..].find('>').unwrap() + 1;
    let free = format!("{}{}", &page[..from], &page[to..]);
    let say = "function say(v){const e=document.createElement('pre');e.id='said';\
               e.textContent=JSON.stringify(v);document.body.append(e)}";
    free.replace(
        "</body>",
        &format!("<script>{say}\n{script}</script></body>"),
    )
}

/// What an instrumented page said.
pub fn said(page: &str, options: &[&str]) -> serde_json::Value {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("page.html");
    std::fs::write(&file, page).unwrap();
    let mut all = vec!["--dump-dom", "--virtual-time-budget=20000"];
    all.extend(options);
    let out = run(&all, &file).out;
    let from = out
        .find("<pre id=\"said\">")
        .expect("the page said something")
        + 15;
    let text = &out[from..from + out[from..].find("</pre>").unwrap()];
    let plain = text
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&");
    serde_json::from_str(&plain).unwrap()
}
