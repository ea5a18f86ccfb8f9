//! The score in RELIABILITY.md holds: no rule is left out, each file it names is there, and each test it names is one.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use syn::visit::{self, Visit};

/// One row of the score.
struct Row {
    rule: String,
    what: String,
    code: Vec<String>,
    tests: Vec<String>,
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The rows of a page: every line of a table but its head.
fn parse_rows(page: &str) -> Vec<Row> {
    let named = |cell: &str| cell.split('`').skip(1).step_by(2).map(str::to_owned).collect();
    let row = |line: &str| {
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        let [rule, what, code, tests] = cells.as_slice() else { panic!("four cells are wanted in: {line}") };
        Row { rule: (*rule).to_owned(), what: (*what).to_owned(), code: named(code), tests: named(tests) }
    };
    let is_head = |line: &str| line.starts_with("|---") || line.starts_with("| rule ");
    page.lines().filter(|line| line.starts_with('|') && !is_head(line)).map(row).collect()
}

/// The names of all tests of this project: functions with an attribute that ends in `test`, and those inside `proptest!`.
fn find_tests() -> BTreeSet<String> {
    #[derive(Default)]
    struct Tests(BTreeSet<String>);
    impl Visit<'_> for Tests {
        fn visit_item_fn(&mut self, function: &syn::ItemFn) {
            if function.attrs.iter().any(|a| a.path().is_ident("test")) {
                self.0.insert(function.sig.ident.to_string());
            }
            visit::visit_item_fn(self, function);
        }
        fn visit_macro(&mut self, called: &syn::Macro) {
            if called.path.is_ident("proptest") {
                let text = called.tokens.to_string();
                let after_fn = text.split("fn ").skip(1);
                self.0.extend(after_fn.filter_map(|rest| rest.split([' ', '(']).next()).map(str::to_owned));
            }
        }
    }
    let mut tests = Tests::default();
    for file in ["src", "tests"].into_iter().flat_map(|dir| rust_files(&root().join(dir))) {
        let text = fs::read_to_string(&file).expect("a source file is read");
        tests.visit_file(&syn::parse_file(&text).expect("a source file is Rust"));
    }
    tests.0
}

fn rust_files(dir: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(dir).expect("a directory of sources is read");
    let paths = entries.map(|entry| entry.expect("an entry is read").path());
    let files = paths.flat_map(|path| match path.is_dir() {
        true => rust_files(&path),
        false => vec![path],
    });
    files.filter(|path| path.extension().is_some_and(|e| e == "rs")).collect()
}

#[test]
fn the_score_names_what_is_there() {
    let page = fs::read_to_string(root().join("tests/RELIABILITY.md")).expect("the score is read");
    let rows = parse_rows(&page);
    let tests = find_tests();

    let kinds = [('J', 30), ('K', 12), ('T', 10), ('S', 5), ('C', 24)];
    let wanted: Vec<String> =
        kinds.iter().flat_map(|&(kind, last)| (1..=last).map(move |n| format!("{kind}{n}"))).collect();
    let told: Vec<&str> = rows.iter().map(|row| row.rule.as_str()).collect();
    assert_eq!(told, wanted, "the rules of the score, in their order");

    let mut wrong = Vec::new();
    for row in &rows {
        let lost_files = row.code.iter().filter(|file| !root().join(file).is_file());
        wrong.extend(lost_files.map(|file| format!("{}: no file {file}", row.rule)));
        let lost_tests = row.tests.iter().filter(|test| !tests.contains(*test));
        wrong.extend(lost_tests.map(|test| format!("{}: no test {test}", row.rule)));
        if row.tests.is_empty() && !row.what.contains("not met") {
            wrong.push(format!("{}: no test, and not said to be unmet", row.rule));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
