//! One page of the browser, commanded over the browser's protocol (Chrome DevTools Protocol 1.3: messages of
//! JSON on a web socket, RFC 6455).

use std::net::TcpStream;
use std::ops::{Deref, DerefMut};
use std::sync::Arc;
use std::time::Duration;

use serde_json::{Value as Json, json};
use tungstenite::{Message, WebSocket};

use super::process::Browser;

/// After this long without a word something is wrong.
const LONGEST: Duration = Duration::from_secs(240);

/// What a browser is commanded through, with one page.
pub struct Line {
    socket: WebSocket<TcpStream>,
    /// The page's, once there is one.
    id: Option<String>,
    commands: u64,
    heard: Vec<Json>,
}

/// A page that one test has to itself. It is used again when the test is done with it: a process for each
/// page took two fifths of the time of all of them.
pub struct Session {
    /// None once it was given back.
    line: Option<Line>,
    browser: Arc<Browser>,
}

impl Session {
    /// A page that nobody else looks at.
    pub fn new(browser: Arc<Browser>) -> Self {
        let line = browser.idle().pop();
        let line = line.unwrap_or_else(|| Line::to(&browser));
        Self {
            line: Some(line),
            browser,
        }
    }
}

impl Deref for Session {
    type Target = Line;

    fn deref(&self) -> &Line {
        self.line.as_ref().unwrap()
    }
}

impl DerefMut for Session {
    fn deref_mut(&mut self) -> &mut Line {
        self.line.as_mut().unwrap()
    }
}

impl Drop for Session {
    fn drop(&mut self) {
        // After a failure nobody knows what is still to come from it.
        if let Some(line) = self.line.take()
            && !std::thread::panicking()
        {
            self.browser.idle().push(line);
        }
    }
}

impl Line {
    /// An empty page.
    fn to(browser: &Browser) -> Self {
        let address = browser.address.strip_prefix("ws://").unwrap();
        let (host, _) = address.split_once('/').unwrap();
        let stream = TcpStream::connect(host).unwrap();
        stream.set_nodelay(true).unwrap();
        stream.set_read_timeout(Some(LONGEST)).unwrap();
        let (socket, _) = tungstenite::client(browser.address.as_str(), stream).unwrap();
        let mut line = Self {
            socket,
            id: None,
            commands: 0,
            heard: Vec::new(),
        };
        // Its context goes with the connection that made it.
        let context = line.call(
            "Target.createBrowserContext",
            &json!({ "disposeOnDetach": true }),
        );
        let target =
            json!({ "url": "about:blank", "browserContextId": context["browserContextId"] });
        let target = line.call("Target.createTarget", &target);
        let attached = json!({ "targetId": target["targetId"], "flatten": true });
        let attached = line.call("Target.attachToTarget", &attached);
        line.id = Some(attached["sessionId"].as_str().unwrap().to_owned());
        for domain in ["Page", "Runtime", "Log"] {
            line.call(&format!("{domain}.enable"), &json!({}));
        }
        line
    }

    /// Goes to an address and waits until all of it is there.
    pub fn open(&mut self, url: &str) {
        // What the last page here had to say was said when this is answered.
        self.evaluate("0");
        self.heard.clear();
        let answer = self.call("Page.navigate", &json!({ "url": url }));
        assert!(answer.get("errorText").is_none(), "{url}: {answer}");
        let loaded = |event: &Json| event["method"] == "Page.loadEventFired";
        while !self.heard.iter().any(loaded) {
            let event = self.next();
            self.heard.push(event);
        }
    }

    /// What an expression, or what it promises, comes to.
    pub fn evaluate(&mut self, expression: &str) -> Json {
        let asked =
            json!({ "expression": expression, "awaitPromise": true, "returnByValue": true });
        let answer = self.call("Runtime.evaluate", &asked);
        assert!(
            answer.get("exceptionDetails").is_none(),
            "{}",
            answer["exceptionDetails"]
        );
        answer["result"]["value"].clone()
    }

    /// What the page wrote on its console so far, and what the browser wrote there of it.
    pub fn console(&mut self) -> Vec<String> {
        // Whatever was said before this is answered was heard by then.
        self.evaluate("0");
        let written = [
            "Runtime.consoleAPICalled",
            "Runtime.exceptionThrown",
            "Log.entryAdded",
        ];
        let heard = self.heard.iter();
        heard
            .filter(|event| written.iter().any(|one| event["method"] == *one))
            .map(|event| event["params"].to_string())
            .collect()
    }

    /// The answer to a command.
    pub fn call(&mut self, method: &str, parameters: &Json) -> Json {
        self.commands += 1;
        let mut command = json!({ "id": self.commands, "method": method, "params": parameters });
        if let Some(id) = &self.id {
            command["sessionId"] = json!(id);
        }
        self.socket
            .send(Message::text(command.to_string()))
            .unwrap();
        loop {
            let mut message = self.next();
            if message["id"] == self.commands {
                assert!(message.get("error").is_none(), "{method}: {message}");
                return message["result"].take();
            }
            self.heard.push(message);
        }
    }

    fn next(&mut self) -> Json {
        loop {
            if let Message::Text(text) = self.socket.read().unwrap() {
                return serde_json::from_str(&text).unwrap();
            }
        }
    }
}
