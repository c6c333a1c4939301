//! Writes a lake of the benchmarks into a folder, for programs that read files.
//!
//! ```sh
//! cargo bench --bench write -- FOLDER plain|unkind VERTICES MISSIONS
//! ```

#[allow(dead_code)] // the benchmarks need more of it
mod lake;
mod unkind;

use std::path::Path;

use lake::Pack;

fn main() {
    // Cargo adds an option of its own, and nothing else where all benchmarks are run.
    let given: Vec<String> = std::env::args()
        .skip(1)
        .filter(|one| one != "--bench")
        .collect();
    let [folder, water, vertices, missions] = given.as_slice() else {
        assert!(given.is_empty(), "FOLDER plain|unkind VERTICES MISSIONS");
        return;
    };
    let (Ok(vertices), Ok(missions)) = (vertices.parse(), missions.parse()) else {
        panic!("VERTICES and MISSIONS are whole numbers")
    };
    let tree = match water.as_str() {
        "plain" => lake::repository(vertices, missions, Pack::Ample),
        "unkind" => unkind::repository(vertices, missions, Pack::Ample),
        other => panic!("`{other}` is neither `plain` nor `unkind`"),
    };
    lake::write(&tree, Path::new(folder));
}
