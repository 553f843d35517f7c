//! One question and how far its answer has come; nothing here paints.

use crate::app::lessons::block::{Block, Deed as RunDeed, Phase};
use crate::app::lessons::runner::{BlockKey, Reply, Shown};
use crate::app::lessons::sheet::Sheet;
use crate::content::claim_text::column;
use crate::learning::live::{Bench, Live};
use crate::learning::prediction::Prediction;
use crate::learning::quiz::asked::Asked;
use crate::learning::quiz::item::Kind;
use crate::learning::quiz::response::{Graded, Response};
use crate::learning::seen::Seen;
use std::sync::Arc;

/// What the learner does with a question.
#[derive(Debug, Clone)]
pub enum Deed {
    /// Choose an option or a candidate, by its place in the item.
    Choose(usize),
    /// Choose the option or the candidate that is shown at a place, from 0.
    ChooseShown(usize),
    /// Type a number.
    Type(String),
    /// Move the event that is shown at a place, to a later place or to an earlier one.
    Move(usize, bool),
    /// Hold a part, by its place among those of the drawing.
    Hold(usize),
    /// Point at a part, by its id.
    Point(&'static str),
    /// Read off a figure.
    Measure(usize),
    /// To the run, its time, the sheet or the settings.
    Run(RunDeed),
    /// Run it with the settings as they stand.
    Try,
    /// Stand by the answer.
    Answer,
    /// Go on without one.
    Skip,
}

/// An answer in the making, beside the sheet and the settings, which belong to the run.
#[derive(Debug, Clone)]
pub enum Work {
    /// An option, by its place in the item.
    Choice(Option<usize>),
    /// What is typed.
    Numeric(String),
    /// Places of events in the item, the earliest first.
    Order(Vec<usize>),
    /// The part that the keyboard holds, and the one that was chosen.
    Point(usize, Option<&'static str>),
    /// A curve.
    Sketch,
    /// Settings.
    Tune,
    /// What was measured, and the candidate by its place in the item.
    Fault(Vec<bool>, Option<usize>),
}

/// How far it has come.
#[derive(Debug, Clone)]
pub enum Stage {
    /// The learner works on it.
    Open,
    /// The answer waits for its run.
    Grading(Response),
    /// It has been graded.
    Answered(Response, Graded),
}

/// A question.
pub struct Question {
    /// As it is put.
    pub asked: Asked,
    /// Its benches as the drawings and traces of lessons take them.
    pub live: Live,
    /// Its run, with sheet and settings.
    pub block: Block,
    /// The answer in the making.
    pub work: Work,
    /// How far it has come.
    pub stage: Stage,
    /// Why the answer cannot be taken as it is.
    pub error: Option<String>,
    /// Benches to be run for the newest request.
    request: Option<Vec<Bench>>,
    /// When it was shown first, s.
    pub begun_s: Option<f64>,
    /// Since when a still of a run that plays has been shown, s.
    pub still_since_s: f64,
    /// Whether settings were tried.
    pub is_tried: bool,
}

impl Question {
    /// A question that nobody has seen. `key` is its name towards the runner.
    pub fn new(key: BlockKey, asked: Asked) -> Self {
        let live = live(&asked);
        let mut block = Block::new(key, &live);
        let work = match &asked.item.kind {
            Kind::Choice(_) => Work::Choice(None),
            Kind::Numeric(_) => Work::Numeric(String::new()),
            Kind::Order(_) => Work::Order(asked.order.clone()),
            Kind::Point(_) => Work::Point(0, None),
            Kind::Sketch(_) => Work::Sketch,
            Kind::Tune(_) => Work::Tune,
            Kind::Fault(fault) => Work::Fault(vec![false; fault.measures.len()], None),
        };
        if matches!(work, Work::Tune) {
            block.phase = Phase::Observe;
        }
        let request = (!live.benches.is_empty()).then(|| live.benches.clone());
        block.revision = u64::from(request.is_some());
        block.stale = request.is_some();
        Self {
            asked,
            live,
            block,
            work,
            stage: Stage::Open,
            error: None,
            request,
            begun_s: None,
            still_since_s: 0.0,
            is_tried: false,
        }
    }

    /// Benches to be run now; once for each request.
    pub fn take_request(&mut self) -> Option<Vec<Bench>> {
        self.block.stale = false;
        self.request.take()
    }

    /// Whether a run is under way.
    pub fn waiting(&self) -> bool {
        self.block.waiting()
    }

    /// Whether an answer has been taken.
    pub fn is_open(&self) -> bool {
        matches!(self.stage, Stage::Open)
    }

    /// The grade.
    pub fn graded(&self) -> Option<(&Response, &Graded)> {
        match &self.stage {
            Stage::Answered(response, graded) => Some((response, graded)),
            _ => None,
        }
    }

    /// The run.
    pub fn shown(&self) -> Option<&Arc<Shown>> {
        self.block.shown.as_ref()
    }

    /// What the benches that the item asks about did, in the run.
    pub fn seen<'a>(&self, shown: &'a Shown) -> &'a [Seen] {
        let sound = match self.asked.item.kind {
            Kind::Fault(_) => self.live.benches.len() - self.asked.benches.len(),
            _ => 0,
        };
        shown.seen.get(sound..).unwrap_or_default()
    }

    /// Whether curves may be seen before the answer.
    pub fn shows_curves(&self) -> bool {
        let is_channel = |id: &String| self.live.benches.iter().any(|bench| column(&bench.subject, id).is_some());
        self.live.look.iter().any(is_channel)
    }

    /// Take in a run.
    pub fn receive(&mut self, reply: Reply) {
        self.block.receive(reply);
        if self.block.cursor_s <= self.block.span_s().0 && self.is_open() {
            self.block.seek(self.asked.item.at_s.unwrap_or(0.0));
        }
        self.settle();
    }

    /// What the learner did.
    pub fn apply(&mut self, deed: Deed) {
        if !self.is_open() {
            // the run can still be looked at
            if let Deed::Run(deed) = deed {
                self.on_run(deed);
            }
            return;
        }
        match (deed, &mut self.work) {
            (Deed::Answer, _) => self.answer(),
            (Deed::Skip, _) => self.take(Response::Skipped),
            (Deed::Run(deed), _) => self.on_run(deed),
            (Deed::Try, Work::Tune) => self.attempt(),
            (Deed::Choose(place), Work::Choice(chosen) | Work::Fault(_, chosen)) => *chosen = Some(place),
            (Deed::ChooseShown(row), Work::Choice(chosen) | Work::Fault(_, chosen)) => {
                *chosen = self.asked.order.get(row).copied().or(*chosen);
            }
            (Deed::Type(text), Work::Numeric(typed)) => {
                *typed = text;
                self.error = None;
            }
            (Deed::Move(row, later), Work::Order(places)) => {
                let other = if later { row + 1 } else { row.wrapping_sub(1) };
                if row < places.len() && other < places.len() {
                    places.swap(row, other);
                }
            }
            (Deed::Hold(place), Work::Point(held, _)) => *held = place,
            (Deed::Point(id), Work::Point(_, chosen)) => *chosen = Some(id),
            (Deed::Measure(place), Work::Fault(measured, _)) => {
                if let Some(measured) = measured.get_mut(place) {
                    *measured = true;
                }
            }
            _ => {}
        }
    }

    fn on_run(&mut self, deed: RunDeed) {
        match deed {
            RunDeed::Turn(place, value) if self.is_open() => {
                if let Some(slot) = self.block.values.get_mut(place) {
                    *slot = Some(value);
                    self.error = None;
                }
            }
            RunDeed::Back if self.is_open() => self.block.values.fill(None),
            RunDeed::Turn(..) | RunDeed::Back | RunDeed::Commit | RunDeed::Explain | RunDeed::Anew => {}
            // what may be seen before the answer stands still where the item says a time
            RunDeed::TogglePlay | RunDeed::Speed(_) | RunDeed::Seek(_) | RunDeed::Step(_) | RunDeed::ToEvent(_)
                if self.is_open() && !self.may_move() => {}
            other => {
                if self.is_open() {
                    self.error = None;
                }
                self.block.apply(other, &self.live);
            }
        }
    }

    fn may_move(&self) -> bool {
        matches!(self.work, Work::Tune) || (self.asked.item.at_s.is_none() && self.shows_curves())
    }

    /// Run with the settings as they stand.
    fn attempt(&mut self) {
        match self.asked.needed(&Response::Tune(self.block.values.clone())) {
            Ok(needed) => {
                self.error = None;
                self.is_tried = true;
                self.ask(needed.benches);
            }
            Err(why) => self.error = Some(why),
        }
    }

    fn ask(&mut self, benches: Vec<Bench>) {
        self.block.revision += 1;
        self.block.stale = true;
        self.request = Some(benches);
    }

    fn response(&self) -> Result<Response, String> {
        match &self.work {
            Work::Choice(chosen) => chosen.map(Response::Choice).ok_or("Choose an answer first."),
            Work::Numeric(typed) if typed.trim().is_empty() => Err("Write a number first."),
            Work::Numeric(typed) => Ok(Response::Numeric(typed.clone())),
            Work::Order(places) => Ok(Response::Order(places.clone())),
            Work::Point(_, chosen) => chosen
                .map(|id| Response::Point(id.to_owned()))
                .ok_or("Point at a part first, or choose it in the list."),
            Work::Sketch => {
                let sheet = self.block.sheet.as_ref().filter(|sheet| sheet.is_drawn());
                sheet
                    .map(|sheet| Response::Sketch(Sheet::points(sheet)))
                    .ok_or("Draw a curve of at least two points first.")
            }
            Work::Tune => Ok(Response::Tune(self.block.values.clone())),
            Work::Fault(_, chosen) => chosen.map(Response::Fault).ok_or("Choose a fault first."),
        }
        .map_err(str::to_owned)
    }

    fn answer(&mut self) {
        match self.response() {
            Ok(response) => self.take(response),
            Err(why) => self.error = Some(why),
        }
    }

    fn take(&mut self, response: Response) {
        let needed = match self.asked.needed(&response) {
            Ok(needed) => needed,
            Err(why) => {
                self.error = Some(why);
                return;
            }
        };
        self.error = None;
        if matches!(response, Response::Tune(_)) {
            self.ask(needed.benches);
        }
        self.stage = Stage::Grading(response);
        self.settle();
    }

    /// Grade an answer whose run has come.
    fn settle(&mut self) {
        let Stage::Grading(response) = &self.stage else { return };
        let needs_run = self.asked.item.needs_run();
        if needs_run && self.waiting() {
            return;
        }
        let shown = self.block.shown.clone();
        let seen = shown.as_ref().map_or(&[][..], |shown| self.seen(shown));
        let failed = self.block.error.clone().filter(|_| needs_run);
        let graded = match failed {
            Some(why) => Err(why),
            None => self.asked.grade(response, seen),
        };
        match graded {
            Ok(graded) => {
                self.stage = Stage::Answered(response.clone(), graded);
                self.block.phase = Phase::Observe;
            }
            Err(why) => {
                self.error = Some(why);
                self.stage = Stage::Open;
            }
        }
    }
}

/// The item's benches as lessons show theirs. A faulty car stands beside the sound one.
fn live(asked: &Asked) -> Live {
    let item = &asked.item;
    let mut benches = asked.benches.clone();
    if matches!(item.kind, Kind::Fault(_)) {
        let name = |bench: &Bench, which: &str, count: usize| match count {
            1 => which.to_owned(),
            _ => format!("{}, {}", bench.name, which.to_lowercase()),
        };
        let count = benches.len();
        for bench in &mut benches {
            bench.name = name(bench, "This car", count);
        }
        let sound = item.benches.iter().map(|bench| Bench { name: name(bench, "Sound car", count), ..bench.clone() });
        benches = sound.chain(benches).collect();
    }
    let prediction = match &item.kind {
        Kind::Sketch(drawn) => Prediction::Sketch(drawn.sketch.clone()),
        _ => Prediction::Choice { ask: String::new(), options: Vec::new() },
    };
    let free = match &item.kind {
        Kind::Tune(tune) => tune.free.clone(),
        _ => Vec::new(),
    };
    Live {
        id: item.id.clone(),
        line: item.line,
        benches,
        free,
        prediction,
        look: item.look.clone(),
        claims: Vec::new(),
        explain: Vec::new(),
    }
}
