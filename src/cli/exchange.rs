//! `pack` and `bring`: a shelf as one file, and another shelf taken in.

use super::args_shelf::{BringArgs, PackArgs};
use super::context::CliContext;
use super::error::{CliError, ExitKind};
use super::output;
use crate::record::exchange::bring::bring;
use crate::record::exchange::fate::StoryFate;
use crate::record::exchange::pack::Pack;
use crate::record::exchange::report::BringReport;
use crate::record::exchange::unpack::{PackError, Unpacked, unpack};
use crate::record::shelf::{Drawer, Shelf};
use crate::review::schemas::SCHEMAS;
use crate::text::format_count;
use anyhow::Result;
use std::path::Path;
use tempfile::TempDir;

/// What explains a pack to somebody without this program.
const README: &str = include_str!("../../assets/pack_readme.txt");
/// A reader of it for a machine that has Python.
const READER: &str = include_str!("../../assets/read_shelf.py");

/// Writes the whole shelf as one file.
pub(super) fn pack_shelf(context: &CliContext, args: &PackArgs) -> Result<()> {
    output::check_not_existing(&args.output, args.force)?;
    let mut explained_by = vec![
        ("README.txt".to_owned(), README.as_bytes().to_vec()),
        ("read_shelf.py".to_owned(), READER.as_bytes().to_vec()),
    ];
    explained_by.extend(SCHEMAS.iter().map(|(name, text)| (format!("schema/{name}.json"), text.as_bytes().to_vec())));
    let pack = Pack::of_shelf(&context.shelf(), explained_by).map_err(CliError::from)?;
    if pack.count_files() == 0 {
        let nothing = format!("there is nothing in {} to pack", context.settings.data_dir.value.display());
        return Err(CliError::failed(nothing).into());
    }
    output::write_file_with(&args.output, args.force, &mut |to| Ok(pack.write(to)?))?;
    let files = format_count(pack.count_files(), "file");
    output::print_message(&format!(
        "sottile: {files} packed; `sottile verify` checks the pack, `sottile bring` takes it in elsewhere"
    ));
    Ok(())
}

/// A pack taken apart in a place of its own, which goes with this value.
pub(super) struct OpenedPack {
    pub(super) unpacked: Unpacked,
    _dir: TempDir,
}

/// Whether that is a file to be taken apart: a tar says so at its 257th byte.
pub(super) fn is_pack(path: &Path) -> bool {
    use std::io::Read;
    let mut head = Vec::new();
    let read = std::fs::File::open(path).and_then(|file| file.take(512).read_to_end(&mut head));
    let is_file = path.metadata().is_ok_and(|about| about.is_file());
    is_file && read.is_ok() && head.get(257..262) == Some(b"ustar")
}

/// Takes a pack apart and holds it to its sums.
pub(super) fn open_pack(path: &Path) -> Result<OpenedPack, CliError> {
    let failed = |error: &PackError| {
        let message = format!("{}: {error}", path.display());
        match error {
            PackError::CutOff | PackError::WrongSums { .. } => CliError::damaged(message),
            PackError::Unreadable(_)
            | PackError::Unwritable(_)
            | PackError::Unsafe { .. }
            | PackError::Twice { .. } => CliError::failed(message),
        }
    };
    let dir =
        tempfile::tempdir().map_err(|e| failed(&PackError::Unwritable(crate::text::FileError::from_io_error(&e))))?;
    let unpacked = unpack(path, dir.path()).map_err(|error| failed(&error))?;
    Ok(OpenedPack { unpacked, _dir: dir })
}

/// Takes another shelf in, or tells what that would do.
pub(super) fn bring_shelf(context: &CliContext, args: &BringArgs) -> Result<()> {
    let opened = match args.source.is_dir() {
        true => None,
        false if is_pack(&args.source) => Some(open_pack(&args.source)?),
        false => {
            let message = format!(
                "{} is neither a data directory nor a pack; `sottile paths` tells where the data lies",
                args.source.display()
            );
            return Err(CliError::failed(message).into());
        }
    };
    let dir = opened.as_ref().map_or(args.source.as_path(), |pack| pack.unpacked.shelf_dir.as_path());
    let (shelf, source) = (context.shelf(), Shelf::open(dir));
    if shelf.real_root() == source.real_root() {
        return Err(CliError::failed("that is this shelf itself").into());
    }
    let lock = if args.dry_run { None } else { Some(shelf.lock().map_err(CliError::from)?) };
    let report = bring(&shelf, &source, lock.as_ref(), context.clock.now().wall).map_err(CliError::from)?;
    drop(lock);
    output::allow_untold(output::print_text(&format_report(&report)))?;
    if args.dry_run {
        output::print_message("sottile: nothing is written yet; without --dry-run it is");
    }
    exit_of(&report)
}

/// What is left out makes a difference to a script.
fn exit_of(report: &BringReport) -> Result<()> {
    let kinds = report.stories.iter().filter_map(|story| match &story.fate {
        StoryFate::LeftOut { is_damaged: true, .. } => Some(ExitKind::Damaged),
        StoryFate::LeftOut { is_damaged: false, .. } => Some(ExitKind::Failed),
        StoryFate::New | StoryFate::Continued | StoryFate::AlreadyHere | StoryFate::Renamed | StoryFate::Parted => None,
    });
    let other = (!report.left_out.is_empty()).then_some(ExitKind::Failed);
    kinds.chain(other).max().map_or(Ok(()), |kind| Err(CliError::already_reported(kind).into()))
}

fn format_report(report: &BringReport) -> String {
    let mut lines = Vec::new();
    for (drawer, noun) in [(Drawer::Panels, "panel"), (Drawer::Pots, "pot")] {
        lines.extend(count_line(report, drawer, noun));
    }
    let photos = (report.photos > 0).then(|| format_count(report.photos, "photograph"));
    let air = (report.air > 0).then(|| format!("{} of the air", format_count(report.air, "reading")));
    let trials = (!report.trials.is_empty()).then(|| format_count(report.trials.len(), "trial"));
    lines.extend([air, photos, trials].into_iter().flatten().map(|what| format!("{what} new here")));
    for story in &report.stories {
        let (id, new) = (&story.id, &story.new_id);
        lines.extend(match &story.fate {
            StoryFate::Renamed => {
                Some(format!("{id}: another {} is called so here; the one brought is {new}", story.drawer.noun()))
            }
            StoryFate::Parted => Some(format!(
                "{id}: both sides went on with it, so both are kept; the one brought is {new}, and nothing of them is merged"
            )),
            StoryFate::LeftOut { reason, .. } => Some(format!("{id}: left out: {reason}")),
            StoryFate::New | StoryFate::Continued | StoryFate::AlreadyHere => None,
        });
    }
    lines.extend(report.left_out.iter().map(|what| format!("left out: {what}")));
    if !report.not_merged.is_empty() {
        lines.push(format!("not merged, since each is of one place alone: {}", report.not_merged.join(", ")));
    }
    if lines.is_empty() {
        lines.push("there is nothing to bring".to_owned());
    }
    lines.join("\n") + "\n"
}

/// How many of a drawer are new, continued, and here already.
fn count_line(report: &BringReport, drawer: Drawer, noun: &str) -> Option<String> {
    let count = |fates: &[StoryFate]| fates.iter().map(|fate| report.count(drawer, fate)).sum::<usize>();
    let parts = [
        (count(&[StoryFate::New, StoryFate::Renamed, StoryFate::Parted]), "new here"),
        (count(&[StoryFate::Continued]), "continued"),
        (count(&[StoryFate::AlreadyHere]), "here already"),
    ];
    let told: Vec<String> =
        parts.iter().filter(|(n, _)| *n > 0).map(|(n, what)| format!("{} {what}", format_count(*n, noun))).collect();
    (!told.is_empty()).then(|| told.join(", "))
}
