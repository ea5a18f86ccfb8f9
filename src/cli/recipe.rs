//! `recipe`, and finding a recipe by name or file.

use super::args;
use super::failure::{Fault, Kind};
use super::{Here, out};
use crate::bench::NotRecorded;
use crate::craft::recipe::file::{Problem, Reading, read};
use crate::craft::recipe::{Recipe, shipped};
use crate::review::again::again;
use crate::text::Trouble;
use crate::text::clean;
use anyhow::Result;
use serde::Serialize;
use std::io::Read;
use std::path::Path;
use std::sync::Arc;

/// The largest recipe file that is read, bytes; far above any real one.
const LARGEST: u64 = 1 << 20;

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
        args::Recipe::Check { file, json } => check(file, *json),
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
        (Some(recipe), None) => Ok(recipe),
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

/// Every recipe that can be chosen, the usual one first; a broken one of the maker's own is told of and left out.
pub(super) fn choices(here: &Here) -> Vec<Arc<Recipe>> {
    let mut recipes: Vec<Arc<Recipe>> =
        shipped::all().iter().filter_map(|s| shipped::named(s.name)).map(Arc::new).collect();
    recipes.sort_by_key(|r| r.name != "gypsum-zinc");
    for (name, _, text) in here.settings.user_recipe_texts() {
        if let Some(recipe) = text.ok().map(|t| read(&t)).filter(|r| r.problems.is_empty()).and_then(|r| r.recipe) {
            recipes.retain(|r| r.name != name);
            recipes.push(Arc::new(recipe));
        }
    }
    recipes
}

fn text_of(here: &Here, asked: &str) -> Result<String, Fault> {
    if asked == "-" || asked.contains(['/', '\\']) || asked.ends_with(".toml") {
        return file_text(Path::new(asked));
    }
    let own = here.settings.user_recipe_texts().into_iter().find(|(name, ..)| name == asked);
    if let Some((_, path, text)) = own {
        return text.map_err(|e| Fault::not_done(format!("{} cannot be read: {}", path.display(), Trouble::of(&e))));
    }
    let shipped = shipped::all().iter().find(|s| s.name == asked).map(|s| s.text.to_owned());
    shipped.ok_or_else(|| {
        let names: Vec<&str> = shipped::all().iter().map(|s| s.name).collect();
        let near = names.iter().max_by(|a, b| strsim::jaro(a, asked).total_cmp(&strsim::jaro(b, asked)));
        let near = near.map_or_else(String::new, |n| format!("; did you mean {n}?"));
        Fault::not_done(format!("no recipe is called \"{}\"{near} `sottile recipe list` tells them all", clean(asked)))
    })
}

pub(super) fn file_text(path: &Path) -> Result<String, Fault> {
    let failed = |e: std::io::Error| Fault::not_done(format!("{} cannot be read: {}", path.display(), Trouble::of(&e)));
    let mut text = String::new();
    if path.as_os_str() == "-" {
        std::io::stdin().lock().take(LARGEST).read_to_string(&mut text).map_err(failed)?;
    } else {
        std::fs::File::open(path).map_err(failed)?.take(LARGEST).read_to_string(&mut text).map_err(failed)?;
    }
    Ok(text)
}

fn list(here: &Here, json: bool) -> Result<()> {
    let own = here.settings.user_recipe_texts();
    let path =
        |r: &Recipe| own.iter().find(|(name, ..)| *name == r.name).map(|(_, path, _)| path.display().to_string());
    let recipes: Vec<ListedJson> = choices(here)
        .iter()
        .map(|r| ListedJson {
            name: r.name.clone(),
            title: r.title.clone(),
            suits: r.suits.iter().map(|p| p.name()).collect(),
            path: path(r),
        })
        .collect();
    for (name, path, text) in &own {
        let broken = text.as_ref().map_or(true, |t| !read(t).problems.is_empty());
        if broken {
            out::say(&format!("sottile: recipe {name} is broken; `sottile recipe check {}` says why", path.display()));
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

fn check(file: &Path, json: bool) -> Result<()> {
    let Reading { problems, .. } = read(&file_text(file)?);
    if json {
        out::json(&CheckJson { format: super::json::FORMAT, problems: problems.clone() })?;
    } else {
        let sound = format!("{}: sound\n", file.display());
        let lines = problems.iter().map(|p| format!("{}: {}\n", file.display(), told(p)));
        out::text(&if problems.is_empty() { sound } else { lines.collect() })?;
    }
    if problems.is_empty() { Ok(()) } else { Err(Fault::told(Kind::NotDone).into()) }
}

fn told(problem: &Problem) -> String {
    clean(&problem.to_string())
}
