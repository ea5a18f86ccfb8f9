//! `recipe`, and finding a recipe by name or file.
//!
//! The maker's own files are in `own_recipes`.

use super::args;
use super::failure::{Fault, Kind};
use super::input::Text;
use super::own_recipes::Own;
use super::{Here, out};
use crate::bench::NotRecorded;
use crate::craft::recipe::file::{Problem, Reading, read};
use crate::craft::recipe::{Recipe, shipped};
use crate::review::again::again;
use crate::text::clean;
use anyhow::Result;
use serde::Serialize;
use std::path::Path;
use std::sync::Arc;

#[derive(Serialize)]
struct CheckJson {
    format: u32,
    problems: Vec<Problem>,
}

#[derive(Serialize)]
struct ListJson {
    format: u32,
    recipes: Vec<ListedJson>,
}

#[derive(Serialize)]
struct ListedJson {
    name: String,
    title: String,
    suits: Vec<&'static str>,
    path: Option<String>,
}

/// Does what `recipe` asks.
pub(super) fn run(here: &Here, asked: &args::Recipe) -> Result<()> {
    match asked {
        args::Recipe::List { json } => list(here, *json),
        args::Recipe::Show { name } => Ok(out::text(&text_of(here, name)?)?),
        args::Recipe::Check { file, json } => check(here, file, *json),
        args::Recipe::From { panel } => from(here, panel),
    }
}

/// Prints a recipe of what was done on a panel.
fn from(here: &Here, asked: &str) -> Result<()> {
    let mut bench = here.bench();
    let id = super::panel::find(&bench, asked)?;
    let told = bench.bring(&id).map_err(Fault::from)?;
    let story = told.story.ok_or_else(|| Fault::from(NotRecorded::NoStory(id)))?;
    out::text(&again(&story).to_toml())
}

/// The recipe of that name, the maker's own before the ones shipped; or the one in that file.
pub(super) fn find(here: &Here, asked: &str) -> Result<Recipe, Fault> {
    let reading = read(&text_of(here, asked)?);
    match (reading.recipe, reading.problems.first()) {
        (Some(recipe), None) => match clash_of(here, asked) {
            Some(clash) => Err(Fault::not_done(clash)),
            None => Ok(recipe),
        },
        (_, Some(first)) => {
            let more = match reading.problems.len() {
                1 => String::new(),
                n => format!(" ({} more; `sottile recipe check` tells all)", n - 1),
            };
            Err(Fault::not_done(format!("recipe {}: {}{more}", clean(asked), told(first))))
        }
        (None, None) => Err(Fault::not_done(format!("recipe {} cannot be read", clean(asked)))),
    }
}

/// Every recipe that can be chosen, the usual one first; one of the maker's own that is broken, or has another's name, is
/// told of and left out.
pub(super) fn choices(here: &Here) -> Vec<Arc<Recipe>> {
    let mut recipes: Vec<Arc<Recipe>> =
        shipped::all().iter().filter_map(|s| shipped::named(s.name)).map(Arc::new).collect();
    recipes.sort_by_key(|r| r.name != "gypsum-zinc");
    for recipe in Own::all(&here.settings).into_iter().filter(|own| own.clash.is_none()).filter_map(|own| own.recipe) {
        recipes.retain(|r| r.name != recipe.name);
        recipes.push(Arc::new(recipe));
    }
    recipes
}

/// Whether a file is asked for, and no name.
fn is_file(asked: &str) -> bool {
    asked == "-" || asked.contains(['/', '\\']) || asked.ends_with(".toml")
}

/// The maker's own recipe that is meant by a name.
fn own_of(here: &Here, asked: &str) -> Option<Own> {
    let mut own = Own::all(&here.settings);
    let named = own.iter().position(|own| own.name() == Some(asked));
    let shipped = shipped::all().iter().any(|s| s.name == asked);
    // One that is called otherwise in its file is still found by its file's name, where nothing else is called so.
    let filed = || own.iter().position(|own| own.file == asked && (own.recipe.is_none() || !shipped));
    named.or_else(filed).map(|at| own.swap_remove(at))
}

/// Why that recipe has a name that is another's, if it is one of the maker's own.
fn clash_of(here: &Here, asked: &str) -> Option<String> {
    if !is_file(asked) {
        return own_of(here, asked)?.clash;
    }
    Own::all(&here.settings).into_iter().find(|own| own.lies_at(Path::new(asked)))?.clash
}

fn text_of(here: &Here, asked: &str) -> Result<String, Fault> {
    if is_file(asked) {
        return Text::Recipe.of(Path::new(asked));
    }
    if let Some(own) = own_of(here, asked) {
        return own.text.map_err(|said| Fault::not_done(format!("{} cannot be read: {said}", own.path.display())));
    }
    let shipped = shipped::all().iter().find(|s| s.name == asked).map(|s| s.text.to_owned());
    shipped.ok_or_else(|| {
        let names: Vec<&str> = shipped::all().iter().map(|s| s.name).collect();
        let near = names.iter().max_by(|a, b| strsim::jaro(a, asked).total_cmp(&strsim::jaro(b, asked)));
        let near = near.map_or_else(String::new, |n| format!("; did you mean {n}?"));
        Fault::not_done(format!("no recipe is called \"{}\"{near} `sottile recipe list` tells them all", clean(asked)))
    })
}

fn list(here: &Here, json: bool) -> Result<()> {
    let own = Own::all(&here.settings);
    let path = |r: &Recipe| own.iter().find(|o| o.name() == Some(&r.name)).map(|o| o.path.display().to_string());
    let recipes: Vec<ListedJson> = choices(here)
        .iter()
        .map(|r| ListedJson {
            name: r.name.clone(),
            title: r.title.clone(),
            suits: r.suits.iter().map(|p| p.name()).collect(),
            path: path(r),
        })
        .collect();
    for own in &own {
        if let Some(clash) = &own.clash {
            out::say(&format!("sottile: {clash}"));
        } else if own.recipe.is_none() {
            let path = own.path.display();
            out::say(&format!(
                "sottile: recipe {} is broken; `sottile recipe check {path}` says why",
                clean(&own.file)
            ));
        }
    }
    if json {
        return out::json(&ListJson { format: super::json::FORMAT, recipes });
    }
    let width = recipes.iter().map(|r| r.name.len()).max().unwrap_or(0);
    let line = |r: &ListedJson| {
        let own = r.path.as_ref().map_or_else(String::new, |p| format!("  [{p}]"));
        format!("{:width$}  {} ({}){own}\n", r.name, clean(&r.title), r.suits.join(", "))
    };
    out::text(&recipes.iter().map(line).collect::<String>())
}

fn check(here: &Here, file: &Path, json: bool) -> Result<()> {
    let text = Text::Recipe.of(file)?;
    let Reading { mut problems, .. } = read(&text);
    if problems.is_empty() {
        problems.extend(file.to_str().and_then(|file| clash_of(here, file)).map(|said| name_problem(&text, said)));
    }
    if json {
        out::json(&CheckJson { format: super::json::FORMAT, problems: problems.clone() })?;
    } else {
        let sound = format!("{}: sound\n", file.display());
        let lines = problems.iter().map(|p| format!("{}: {}\n", file.display(), told(p)));
        out::text(&if problems.is_empty() { sound } else { lines.collect() })?;
    }
    if problems.is_empty() { Ok(()) } else { Err(Fault::told(Kind::NotDone).into()) }
}

/// A problem with the name that stands in a sound recipe.
fn name_problem(text: &str, said: String) -> Problem {
    let at = text.lines().position(|line| line.trim_start_matches('\u{feff}').trim_start().starts_with("name"));
    Problem { line: at.map_or(1, |at| at + 1), column: 1, key: Some("name".to_owned()), said, nearest: None }
}

fn told(problem: &Problem) -> String {
    clean(&problem.to_string())
}
