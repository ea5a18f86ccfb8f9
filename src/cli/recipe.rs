//! `recipe`, and finding a recipe by name or file.
//!
//! The maker's own files are in `user_recipes`.

use super::args;
use super::context::{CliContext, find_panel};
use super::error::{CliError, ExitKind};
use super::input::InputKind;
use super::output;
use super::pot_survey::load_pot_survey;
use super::story::{is_newer, require_story};
use super::user_recipes::UserRecipe;
use crate::bench::RecordError;
use crate::craft::recipe::parser::{Diagnostic, ParsedRecipe, parse_recipe};
use crate::craft::recipe::{Recipe, shipped};
use crate::review::html::handout_page;
use crate::review::recipe_from_story::recipe_as_coated;
use crate::text::{find_nearest_word, quote_word, sanitize};
use anyhow::Result;
use serde::Serialize;
use std::path::Path;
use std::sync::Arc;

#[derive(Serialize)]
struct CheckJson {
    format: u32,
    problems: Vec<Diagnostic>,
}

#[derive(Serialize)]
struct ListJson {
    format: u32,
    recipes: Vec<RecipeListItemJson>,
}

#[derive(Serialize)]
struct RecipeListItemJson {
    name: String,
    title: String,
    suits: Vec<&'static str>,
    path: Option<String>,
}

/// Does what `recipe` asks.
pub(super) fn run(context: &CliContext, asked: &args::RecipeCommand) -> Result<()> {
    match asked {
        args::RecipeCommand::List { json } => list_recipes(context, *json),
        args::RecipeCommand::Show { name, handout: Some(path), force } => {
            output::check_not_existing(path, *force)?;
            let recipe = find_recipe(context, name)?;
            let bulk = context.settings.bulk_densities();
            let page = handout_page(&recipe, &bulk, context.settings.unit_system.value);
            output::write_file(path, &page, *force)
        }
        args::RecipeCommand::Show { name, handout: None, .. } => {
            Ok(output::print_text(&read_recipe_text(context, name)?)?)
        }
        args::RecipeCommand::Check { file, json } => check_recipe(context, file, *json),
        args::RecipeCommand::From { panel } => print_recipe_from_panel(context, panel),
    }
}

/// Prints a recipe of what was done on a panel.
fn print_recipe_from_panel(context: &CliContext, query: &str) -> Result<()> {
    let mut bench = context.bench();
    let id = find_panel(&bench, query)?;
    let snapshot = bench.load(&id).map_err(CliError::from)?;
    if is_newer(&snapshot) {
        require_story(&snapshot)?;
    }
    let story = snapshot.story.ok_or_else(|| CliError::from(RecordError::NoStory(id)))?;
    let survey = load_pot_survey(context, bench)?;
    output::print_text(&recipe_as_coated(&story, &survey.usage()).to_toml())
}

/// The recipe of that name, the maker's own before the ones shipped; or the one in that file.
pub(super) fn find_recipe(context: &CliContext, query: &str) -> Result<Recipe, CliError> {
    let reading = parse_recipe(&read_recipe_text(context, query)?);
    match (reading.recipe, reading.diagnostics.first()) {
        (Some(recipe), None) => match find_name_clash_of(context, query) {
            Some(clash) => Err(CliError::failed(clash)),
            None => Ok(recipe),
        },
        (_, Some(first)) => {
            let more = match reading.diagnostics.len() {
                1 => String::new(),
                n => format!(" ({} more; `sottile recipe check` tells all)", n - 1),
            };
            Err(CliError::failed(format!("recipe {}: {}{more}", sanitize(query), format_diagnostic(first))))
        }
        (None, None) => Err(CliError::failed(format!("recipe {} cannot be read", sanitize(query)))),
    }
}

/// Every recipe that can be chosen, the usual one first; one of the maker's own that is broken, or has another's name, is
/// told of and left out.
pub(super) fn selectable_recipes(context: &CliContext) -> Vec<Arc<Recipe>> {
    let mut recipes: Vec<Arc<Recipe>> =
        shipped::shipped_recipes().iter().filter_map(|s| shipped::find_shipped_recipe(s.name)).map(Arc::new).collect();
    recipes.sort_by_key(|r| r.name != shipped::DEFAULT_RECIPE_NAME);
    for recipe in UserRecipe::load_all(&context.settings)
        .into_iter()
        .filter(|own| own.name_clash.is_none())
        .filter_map(|own| own.recipe)
    {
        recipes.retain(|r| r.name != recipe.name);
        recipes.push(Arc::new(recipe));
    }
    recipes
}

/// Whether a file is asked for, and no name.
fn is_file(query: &str) -> bool {
    query == "-" || query.contains(['/', '\\']) || query.ends_with(".toml")
}

/// The maker's own recipe that is meant by a name.
fn find_user_recipe(context: &CliContext, query: &str) -> Option<UserRecipe> {
    let mut own = UserRecipe::load_all(&context.settings);
    let named = own.iter().position(|own| own.name() == Some(query));
    let shipped = shipped::shipped_recipes().iter().any(|s| s.name == query);
    // One that is called otherwise in its file is still found by its file's name, where nothing else is called so.
    let filed = || own.iter().position(|own| own.file_stem == query && (own.recipe.is_none() || !shipped));
    named.or_else(filed).map(|at| own.swap_remove(at))
}

/// Why that recipe has a name that is another's, if it is one of the maker's own.
fn find_name_clash_of(context: &CliContext, query: &str) -> Option<String> {
    if !is_file(query) {
        return find_user_recipe(context, query)?.name_clash;
    }
    UserRecipe::load_all(&context.settings).into_iter().find(|own| own.is_at(Path::new(query)))?.name_clash
}

fn read_recipe_text(context: &CliContext, query: &str) -> Result<String, CliError> {
    if is_file(query) {
        return InputKind::Recipe.read_text(Path::new(query));
    }
    if let Some(own) = find_user_recipe(context, query) {
        return own
            .text
            .map_err(|message| CliError::failed(format!("{} cannot be read: {message}", own.path.display())));
    }
    let shipped = shipped::shipped_recipes().iter().find(|s| s.name == query).map(|s| s.text.to_owned());
    shipped.ok_or_else(|| {
        let own = UserRecipe::load_all(&context.settings);
        let names = shipped::shipped_recipes().iter().map(|s| s.name).chain(own.iter().filter_map(UserRecipe::name));
        let near = find_nearest_word(query, names).map_or_else(String::new, |n| format!("did you mean {n}? "));
        CliError::failed(format!(
            "no recipe is called {}; {near}`sottile recipe list` tells them all",
            quote_word(query)
        ))
    })
}

fn list_recipes(context: &CliContext, json: bool) -> Result<()> {
    let own = UserRecipe::load_all(&context.settings);
    let path = |r: &Recipe| own.iter().find(|o| o.name() == Some(&r.name)).map(|o| o.path.display().to_string());
    let recipes: Vec<RecipeListItemJson> = selectable_recipes(context)
        .iter()
        .map(|r| RecipeListItemJson {
            name: r.name.clone(),
            title: r.title.clone(),
            suits: r.suits.iter().map(|p| p.name()).collect(),
            path: path(r),
        })
        .collect();
    for own in &own {
        if let Some(clash) = &own.name_clash {
            output::print_message(&format!("sottile: {clash}"));
        } else if own.recipe.is_none() {
            let path = own.path.display();
            output::print_message(&format!(
                "sottile: recipe {} is broken; `sottile recipe check {path}` says why",
                sanitize(&own.file_stem)
            ));
        }
    }
    if json {
        return output::print_json(&ListJson { format: super::json::FORMAT_VERSION, recipes });
    }
    let width = recipes.iter().map(|r| r.name.len()).max().unwrap_or(0);
    let line = |r: &RecipeListItemJson| {
        let own = r.path.as_ref().map_or_else(String::new, |p| format!("  [{p}]"));
        format!("{:width$}  {} ({}){own}\n", r.name, sanitize(&r.title), r.suits.join(", "))
    };
    output::print_text(&recipes.iter().map(line).collect::<String>())
}

fn check_recipe(context: &CliContext, file: &Path, json: bool) -> Result<()> {
    let text = InputKind::Recipe.read_text(file)?;
    let ParsedRecipe { diagnostics: mut problems, .. } = parse_recipe(&text);
    if problems.is_empty() {
        problems.extend(
            file.to_str()
                .and_then(|file| find_name_clash_of(context, file))
                .map(|message| name_diagnostic(&text, message)),
        );
    }
    if json {
        output::print_json(&CheckJson { format: super::json::FORMAT_VERSION, problems: problems.clone() })?;
    } else {
        let sound = format!("{}: sound\n", file.display());
        let lines = problems.iter().map(|p| format!("{}: {}\n", file.display(), format_diagnostic(p)));
        output::print_text(&if problems.is_empty() { sound } else { lines.collect() })?;
    }
    if problems.is_empty() { Ok(()) } else { Err(CliError::already_reported(ExitKind::Failed).into()) }
}

/// A problem with the name that stands in a sound recipe.
fn name_diagnostic(text: &str, message: String) -> Diagnostic {
    let at = text.lines().position(|line| line.trim_start_matches('\u{feff}').trim_start().starts_with("name"));
    Diagnostic { line: at.map_or(1, |at| at + 1), column: 1, key: Some("name".to_owned()), message, nearest: None }
}

fn format_diagnostic(problem: &Diagnostic) -> String {
    sanitize(&problem.to_string())
}
