//! `wait`: sleeps until the next act on a panel is due.

use super::args_paper::WaitArgs;
use super::context::{CliContext, find_panel};
use super::error::CliError;
use super::format_panel::{format_panel_status, format_stage};
use super::json::{FORMAT_VERSION, StageJson, format_local_rfc3339};
use super::output;
use super::story::{check_undamaged, require_story};
use crate::bench::trusted_now;
use crate::record::shelf::{Drawer, Shelf};
use crate::record::watch::{WatchedPaths, watch};
use crate::text::{format_when, sanitize};
use crate::units::{Moment, Span, Stamp};
use crate::work::panel::event::Stage;
use crate::work::panel::story::PanelStory;
use anyhow::Result;
use chrono::Local;
use serde::Serialize;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::thread;
use std::time::Duration;

/// The clock that wakes us stands still while the machine sleeps: after that the call comes so late at most.
const NAP_MAX: Duration = Duration::from_secs(30);

#[derive(Debug, Serialize)]
struct WaitJson<'a> {
    format: u32,
    panel: &'a str,
    act: StageJson,
    due_at: String,
}

/// An act that is or will be due.
struct DueAct {
    act: Stage,
    due: Stamp,
    left: Span,
}

/// Returns once the wait before the next act is over, however often that is changed meanwhile.
pub(super) fn run(context: &CliContext, args: &WaitArgs) -> Result<()> {
    let mut bench = context.bench();
    let id = find_panel(&bench, &args.panel)?;
    check_undamaged(&bench.load(&id).map_err(CliError::from)?)?;
    let news = watch_panels(bench.shelf());
    loop {
        let snapshot = bench.load(&id).map_err(CliError::from)?;
        let story = require_story(&snapshot)?;
        let now = believed_now(context, story);
        let Some(next) = find_due_act(story, now) else {
            let label = sanitize(&story.panel().opened().label);
            let stands = format_panel_status(&story.panel().status(now), now);
            return Err(CliError::failed(format!("nothing is due on {label}: {stands}")).into());
        };
        if next.left <= Span::ZERO {
            return tell_due(args, story, &next, now);
        }
        nap(&news, next.left);
    }
}

/// What the wait in force is for; none where no wait runs or has run out before the act at hand.
fn find_due_act(story: &PanelStory, now: Moment) -> Option<DueAct> {
    let status = story.panel().status(now);
    Some(DueAct { act: status.stage_to_record()?, due: status.due_at?, left: status.time_left? })
}

/// The moment it is for that story. A clock behind its last line runs on from there, as on the bench, so that no countdown
/// stands still.
fn believed_now(context: &CliContext, story: &PanelStory) -> Moment {
    let now = context.clock.now();
    if let Some(last) = story.entries().last().map(|entry| entry.written) {
        let same_boot = matches!((now.boot, last.boot), (Some(a), Some(b)) if a.boot_id == b.boot_id);
        if now.wall < last.wall && !same_boot {
            context.clock.run_on_from(last.wall + Span::from_ms(1), false);
        }
    }
    trusted_now(story, context.clock.now())
}

/// A word whenever something is written among the panels.
fn watch_panels(shelf: &Shelf) -> Receiver<()> {
    let (tells, news) = channel();
    let places = WatchedPaths {
        dir: shelf.drawer_path(Drawer::Panels),
        other_paths: Vec::new(),
        parent_dir: shelf.root().to_owned(),
    };
    // It ends with the program. Where nothing tells, each nap ends with a look.
    thread::spawn(move || watch(&places, || tells.send(()).is_ok()));
    news
}

fn nap(news: &Receiver<()>, left: Span) {
    let left = Duration::from_millis(u64::try_from(left.ms()).unwrap_or(0).saturating_add(1));
    let nap = left.min(NAP_MAX);
    if news.recv_timeout(nap) == Err(RecvTimeoutError::Disconnected) {
        thread::sleep(nap);
    }
    // Several writings at once are one.
    while news.try_recv().is_ok() {}
}

fn tell_due(args: &WaitArgs, story: &PanelStory, next: &DueAct, now: Moment) -> Result<()> {
    let opened = story.panel().opened();
    if args.json {
        return output::print_json(&WaitJson {
            format: FORMAT_VERSION,
            panel: opened.id.as_str(),
            act: next.act.into(),
            due_at: format_local_rfc3339(next.due),
        });
    }
    let when = format_when(next.due, now.wall, &Local);
    output::print_text(&format!("{}: {} is due since {when}\n", sanitize(&opened.label), format_stage(next.act)))
}
