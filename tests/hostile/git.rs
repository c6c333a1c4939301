//! Settings that would have git run a command, read another repository, or see another history.
//!
//! Every command that could be started leaves a mark, and none is there afterwards.

use std::os::unix::fs::PermissionsExt;
use std::path::Path;

use crate::run::{Limits, Ran, run};
use crate::world::{MISSION, World, git_in, put};

/// A command that leaves a mark wherever git would start it.
struct Trap {
    script: String,
    mark: std::path::PathBuf,
}

impl Trap {
    fn set(world: &World) -> Self {
        let (script, mark) = (world.aside("trap"), world.aside("mark"));
        let text = format!("#!/bin/sh\necho \"$0 $*\" >> {}\nexit 1\n", mark.display());
        put(&script, &text);
        std::fs::set_permissions(&script, PermissionsExt::from_mode(0o755)).unwrap();
        let script = script.display().to_string();
        Self { script, mark }
    }

    fn is_not_sprung(&self) {
        let marks = std::fs::read_to_string(&self.mark).unwrap_or_default();
        assert_eq!(marks, "");
    }
}

fn changed(world: &World) {
    world.edit(MISSION, "charge_at_launch: 95 %", "charge_at_launch: 94 %");
}

fn reviews(world: &World) -> [Ran; 2] {
    let tree = world.review();
    let objects = world.run(&["review", "HEAD~1", "HEAD"], Limits::REVIEW);
    [tree, objects]
}

#[test]
#[ignore = "slow"]
fn settings_that_would_run_a_command() {
    let world = World::new();
    changed(&world);
    world.write(
        ".gitattributes",
        "*.yaml filter=trap diff=trap merge=trap text eol=crlf ident\n",
    );
    world.commit("less charge, and attributes");
    world.edit(MISSION, "charge_at_launch: 94 %", "charge_at_launch: 93 %");
    let trap = Trap::set(&world);
    let it = trap.script.as_str();
    let shell = format!("!{it}");
    for (key, value) in [
        ("core.fsmonitor", it),
        ("core.pager", it),
        ("core.editor", it),
        ("core.sshCommand", it),
        ("core.gitProxy", it),
        ("core.askPass", it),
        ("core.alternateRefsCommand", it),
        ("sequence.editor", it),
        ("credential.helper", &shell),
        ("diff.external", it),
        ("diff.trap.textconv", it),
        ("diff.trap.command", it),
        ("filter.trap.clean", it),
        ("filter.trap.smudge", it),
        ("filter.trap.process", it),
        ("filter.trap.required", "true"),
        ("merge.trap.driver", it),
        ("gpg.program", it),
        ("log.showSignature", "true"),
        ("alias.rev-parse", &shell),
        ("alias.ls-tree", &shell),
        ("alias.cat-file", &shell),
        ("pager.ls-tree", it),
        ("pager.rev-parse", it),
        ("pager.cat-file", it),
        ("remote.origin.url", &format!("ext::{it}")),
        ("remote.origin.uploadpack", it),
        ("remote.origin.promisor", "true"),
        ("remote.origin.partialCloneFilter", "blob:none"),
        ("protocol.ext.allow", "always"),
        ("uploadpack.packObjectsHook", it),
        ("core.hooksPath", "hooks-of-mine"),
    ] {
        world.git(&["config", key, value]);
    }
    world.git(&["config", "extensions.partialClone", "origin"]);
    world.git(&["config", "core.repositoryFormatVersion", "1"]);
    for hook in [
        "post-checkout",
        "pre-commit",
        "post-index-change",
        "fsmonitor-watchman",
    ] {
        for folder in ["hooks-of-mine", ".git/hooks"] {
            let at = world.repository().join(folder).join(hook);
            put(&at, &std::fs::read_to_string(it).unwrap());
            std::fs::set_permissions(&at, PermissionsExt::from_mode(0o755)).unwrap();
        }
    }
    for ran in reviews(&world) {
        assert_eq!(ran.status, 0, "{}", ran.everything());
        assert!(
            ran.terminal().contains("it affects 1 mission"),
            "{}",
            ran.terminal()
        );
    }
    assert_eq!(world.check().status, 0);
    trap.is_not_sprung();
    // An object that is not there would be fetched from where it is promised.
    let blob = world.git(&["rev-parse", &format!("HEAD:{MISSION}")]);
    let (folder, file) = blob.split_at(2);
    let at = world
        .repository()
        .join(".git/objects")
        .join(folder)
        .join(file);
    std::fs::remove_file(at).unwrap();
    let [_, objects] = reviews(&world);
    objects.refuses("are missing from this filtered clone");
    trap.is_not_sprung();
    // The trap is one: git itself springs it.
    let _ = std::process::Command::new("git")
        .args(["cat-file", "-p", &blob])
        .current_dir(world.repository())
        .output();
    assert!(trap.mark.exists());
}

#[test]
fn variables_that_would_run_a_command_or_lead_elsewhere() {
    let world = World::new();
    changed(&world);
    world.commit("less charge");
    let other = World::new();
    let trap = Trap::set(&world);
    let it = trap.script.as_str();
    let trace = world.aside("trace");
    let trace = trace.display().to_string();
    let there = other.repository().join(".git").display().to_string();
    let objects = format!("{there}/objects");
    let variables = [
        ("GIT_DIR", there.as_str()),
        ("GIT_COMMON_DIR", &there),
        ("GIT_WORK_TREE", "/"),
        ("GIT_INDEX_FILE", "/dev/zero"),
        ("GIT_OBJECT_DIRECTORY", &objects),
        ("GIT_ALTERNATE_OBJECT_DIRECTORIES", &objects),
        ("GIT_NAMESPACE", "other"),
        ("GIT_PREFIX", "missions/"),
        ("GIT_EXEC_PATH", "/nowhere"),
        ("GIT_EXTERNAL_DIFF", it),
        ("GIT_PAGER", it),
        ("GIT_EDITOR", it),
        ("GIT_SSH", it),
        ("GIT_SSH_COMMAND", it),
        ("GIT_PROXY_COMMAND", it),
        ("GIT_ASKPASS", it),
        ("GIT_TRACE", &trace),
        ("GIT_TRACE2_EVENT", &trace),
        ("GIT_TRACE_SETUP", &trace),
        ("GIT_REPLACE_REF_BASE", "refs/heads/"),
        ("GIT_SHALLOW_FILE", "/dev/zero"),
        ("GIT_LITERAL_PATHSPECS", "1"),
        ("GIT_DEFAULT_HASH", "sha256"),
        ("GIT_CEILING_DIRECTORIES", "/nowhere"),
    ];
    let plain = run(
        &world.repository(),
        &["review", "HEAD~1", "HEAD"],
        None,
        &Limits::REVIEW,
        &[],
    );
    let arguments = ["review", "HEAD~1", "HEAD"];
    let ran = run(
        &world.repository(),
        &arguments,
        None,
        &Limits::REVIEW,
        &variables,
    );
    assert_eq!(ran.status, 0, "{}", ran.said);
    assert_eq!(ran.terminal(), plain.terminal());
    assert!(ran.terminal().contains("it affects 1 mission of 1"));
    assert!(!Path::new(&trace).exists());
    trap.is_not_sprung();
}

/// A `git` that lies in the repository is none, even where the search path names the folder that
/// the program was called in, and where it names no other.
#[test]
fn a_git_of_the_repositorys_own() {
    let world = World::new();
    let trap = Trap::set(&world);
    for name in ["git", "missions/git"] {
        let at = world.repository().join(name);
        std::fs::copy(&trap.script, &at).unwrap();
    }
    let path = format!(".:missions::{}", std::env::var("PATH").unwrap());
    let environment = [("PATH", path.as_str())];
    let ran = run(
        &world.repository(),
        &["review", "HEAD"],
        None,
        &Limits::REVIEW,
        &environment,
    );
    assert_eq!(ran.status, 0, "{}", ran.said);
    trap.is_not_sprung();
    for path in ["", ".", ":", "missions:."] {
        let ran = run(
            &world.repository(),
            &["review", "HEAD"],
            None,
            &Limits::REVIEW,
            &[("PATH", path)],
        );
        assert_eq!(ran.status, 2, "`{path}`: {}", ran.said);
        trap.is_not_sprung();
    }
}

/// Settings and files that lead to another work tree or another repository.
#[test]
fn a_repository_that_is_elsewhere() {
    let world = World::new();
    let outside = world.outside();
    world.git(&["config", "core.worktree", &outside.display().to_string()]);
    world.review().refuses("keeps its work tree elsewhere");
    world.git(&["config", "core.worktree", "/"]);
    let ran = world.review();
    assert_eq!(ran.status, 2, "{}", ran.everything());

    let world = World::new();
    let outside = world.outside();
    git_in(&outside, &["init", "--quiet"]);
    git_in(&outside, &["add", "--all"]);
    git_in(
        &outside,
        &["commit", "--quiet", "--message", "not for others"],
    );
    let own = world.repository().join(".git");
    std::fs::rename(&own, world.aside("own")).unwrap();
    std::fs::write(&own, "gitdir: ../outside/.git\n").unwrap();
    let words = "does not name this folder as its work tree";
    world.review().refuses(words);
    world
        .run(&["review", "HEAD", "HEAD"], Limits::REVIEW)
        .refuses(words);
    std::fs::remove_file(&own).unwrap();
    world.link("../outside/.git", ".git");
    world.review().refuses(words);
    std::fs::remove_file(&own).unwrap();
    std::fs::write(&own, "gitdir: /dev/zero\n").unwrap();
    assert_eq!(world.review().status, 2);
}

/// A further work tree of a repository, and a submodule, are what they say.
#[test]
fn work_trees_and_submodules_are_reviewed() {
    let world = World::new();
    let further = world.aside("further");
    world.git(&["worktree", "add", "--quiet", &further.display().to_string()]);
    let text = std::fs::read_to_string(further.join(MISSION)).unwrap();
    put(
        &further.join(MISSION),
        &text.replace("launch: 95 %", "launch: 94 %"),
    );
    let ran = run(&further, &["review", "HEAD"], None, &Limits::REVIEW, &[]);
    assert_eq!(ran.status, 0, "{}", ran.said);
    assert!(
        ran.terminal().contains("it affects 1 mission of 1"),
        "{}",
        ran.terminal()
    );
    let outer = world.aside("outer");
    put(&outer.join("README"), "outer\n");
    git_in(&outer, &["init", "--quiet"]);
    let url = world.repository().display().to_string();
    git_in(
        &outer,
        &[
            "-c",
            "protocol.file.allow=always",
            "submodule",
            "add",
            "--quiet",
            &url,
            "in",
        ],
    );
    let ran = run(
        &outer.join("in"),
        &["review", "HEAD"],
        None,
        &Limits::REVIEW,
        &[],
    );
    assert_eq!(ran.status, 0, "{}", ran.said);
}

/// A folder of files can be made to look like a bare repository, whose settings git would follow.
#[test]
fn a_bare_repository_among_the_files() {
    let world = World::new();
    let bare = world.repository().join("plans");
    let from = world.outside();
    git_in(&from, &["init", "--quiet"]);
    git_in(&from, &["add", "--all"]);
    git_in(&from, &["commit", "--quiet", "--message", "not for others"]);
    let (from, to) = (from.display().to_string(), bare.display().to_string());
    world.git(&["clone", "--quiet", "--bare", &from, &to]);
    let arguments = ["review", "HEAD", "HEAD", "--plans", "plans"];
    let ran = world.run(&arguments, Limits::REVIEW);
    ran.refuses("offing does not review a bare repository inside another one");
}

/// Replacements and grafts show another history than the one that was reviewed.
#[test]
fn history_is_as_it_was_made() {
    let world = World::new();
    changed(&world);
    let second = world.commit("less charge");
    let plain = world.run(&["review", "HEAD~1", "HEAD"], Limits::REVIEW);
    assert!(
        plain.terminal().contains("it affects 1 mission of 1"),
        "{}",
        plain.terminal()
    );
    world.git(&["checkout", "--quiet", "HEAD~1"]);
    let first = world.git(&["rev-parse", "HEAD"]);
    // The same as the second, as a beginning of its own.
    let tree = world.git(&["rev-parse", &format!("{second}^{{tree}}")]);
    let alike = world.git(&["commit-tree", &tree, "-m", "alike"]);
    world.git(&["checkout", "--quiet", "main"]);
    world.git(&["replace", &first, &alike]);
    let blob = world.git(&["rev-parse", &format!("{first}:{MISSION}")]);
    let other = world.git(&["rev-parse", &format!("{second}:{MISSION}")]);
    world.git(&["replace", &blob, &other]);
    let grafts = world.repository().join(".git/info/grafts");
    put(&grafts, &format!("{second} {alike}\n"));
    let ran = world.run(&["review", "HEAD~1", "HEAD"], Limits::REVIEW);
    assert_eq!(ran.terminal(), plain.terminal());
}

/// git says so much of what is wrong that it waits for somebody to read it.
#[test]
#[ignore = "slow"]
fn complaints_without_number() {
    let world = World::new();
    changed(&world);
    world.commit("less charge");
    let packs = world.repository().join(".git/objects/pack");
    for number in 0..3_000 {
        let name = format!("pack-{number:040x}");
        put(&packs.join(format!("{name}.idx")), "no index");
        put(&packs.join(format!("{name}.pack")), "no pack");
    }
    for ran in reviews(&world) {
        assert_eq!(ran.status, 0, "{}", ran.everything());
    }
}
