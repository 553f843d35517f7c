//! Learner records: what was acknowledged is there whenever the program is killed, what is damaged is set aside and
//! told, what is deleted is gone, and a folder that is wrong or hostile gets a clear error.

use second_breath::content::problem::Problem;
use second_breath::learning::record::{Answer, LearnerCode, Mode};
use second_breath::storage::line::{self, Refusal, State};
use second_breath::storage::records::Records;
use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// A folder of its own, gone at the end.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("second_breath_records_{name}_{}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).expect("a folder");
        Self(path)
    }

    fn open(&self) -> Records {
        Records::open(&self.0).unwrap_or_else(|problem| panic!("{problem}"))
    }

    fn log(&self, learner: &LearnerCode) -> PathBuf {
        self.0.join("answers").join(format!("{learner}.answers"))
    }

    /// Everything in it, by path.
    fn files(&self) -> Vec<(PathBuf, Vec<u8>)> {
        let mut found = Vec::new();
        let mut folders = vec![self.0.clone()];
        while let Some(folder) = folders.pop() {
            for entry in fs::read_dir(folder).expect("a folder") {
                let path = entry.expect("an entry").path();
                if path.is_dir() {
                    folders.push(path);
                } else {
                    found.push((path.clone(), fs::read(path).expect("a file")));
                }
            }
        }
        found
    }

    fn set_aside(&self) -> Vec<(PathBuf, Vec<u8>)> {
        let aside = |path: &Path| path.to_string_lossy().contains(".damaged-");
        self.files().into_iter().filter(|(path, _)| aside(path)).collect()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn code(text: &str) -> LearnerCode {
    LearnerCode::parse(text).expect("a code")
}

/// The answer of this number; texts with all that could break a line.
fn answer(learner: &LearnerCode, number: u64) -> Answer {
    Answer {
        at_unix_s: 1_788_800_400 + number as i64,
        learner: learner.clone(),
        item: format!("../item\n{number}"),
        seed: number,
        mode: if number.is_multiple_of(2) { Mode::Test { form: "A\u{2028}\"".to_owned() } } else { Mode::Lesson },
        chosen: "b\r\n\0 ü".to_owned(),
        right: number.is_multiple_of(3),
        score: 1.0 / 3.0,
        seconds: 12.25,
        misconception: (number.is_multiple_of(5)).then(|| "it costs nothing".to_owned()),
    }
}

fn answers(learner: &LearnerCode, count: u64) -> Vec<Answer> {
    (0..count).map(|number| answer(learner, number)).collect()
}

fn kept(folder: &Folder, name: &str, count: u64) -> LearnerCode {
    let mut records = folder.open();
    let learner = records.add(name).expect("a learner");
    for answer in answers(&learner, count) {
        records.append(&answer).expect("kept");
    }
    learner
}

fn error(folder: &Path) -> Problem {
    Records::open(folder).err().unwrap_or_else(|| panic!("{} is refused", folder.display()))
}

fn says(problem: &Problem, what: &str) {
    assert!(problem.message.contains(what), "{problem} does not say: {what}");
    assert!(!problem.mend.is_empty() && !problem.file.is_empty(), "{problem:?}");
}

const CHILD: &str = "SECOND_BREATH_TEST_CHILD_FOLDER";

/// No test by itself: what [`whatever_was_acknowledged_is_there_after_a_kill`] starts and kills. It writes answers
/// without end and says of each that it is kept, once it is.
#[test]
fn child_that_writes_until_it_is_killed() {
    let Ok(folder) = std::env::var(CHILD) else { return };
    let learner = code("k7m2qd");
    let mut records = Records::open(Path::new(&folder)).expect("records");
    let mut next = records.answers(&learner).expect("a log").len() as u64;
    let mut out = std::io::stdout().lock();
    loop {
        records.append(&answer(&learner, next)).expect("kept");
        // the names are replaced as a whole now and then
        if next.is_multiple_of(7) {
            records.rename(&learner, &format!("Invented {next}")).expect("named");
        }
        writeln!(out, "\nkept {next}").and_then(|()| out.flush()).expect("told");
        next += 1;
    }
}

/// Kills of the process; a loss of power is not tried here.
#[test]
fn whatever_was_acknowledged_is_there_after_a_kill() {
    const KILLS: usize = 320;
    let folder = Folder::new("kill");
    let learner = code("k7m2qd");
    let mut acknowledged = 0;
    let (mut in_flight, mut random) = (0, fastrand::Rng::with_seed(7));
    for round in 0..KILLS {
        let mut child = Command::new(std::env::current_exe().expect("this test"))
            .args(["--exact", "child_that_writes_until_it_is_killed", "--nocapture", "--test-threads", "1"])
            .env(CHILD, &folder.0)
            .stdout(Stdio::piped())
            .spawn()
            .expect("a child");
        let mut lines = BufReader::new(child.stdout.take().expect("its output")).lines();
        let mut tell = |line: String| {
            if let Some(number) = line.strip_prefix("kept ").and_then(|number| number.parse::<u64>().ok()) {
                assert_eq!(number, acknowledged, "each is told once, in order");
                acknowledged += 1;
            }
        };
        // some are killed before they have said a word, which may be anywhere in their beginning
        for _ in 0..random.usize(0..24) {
            tell(lines.next().expect("a line").expect("text"));
        }
        // then a random while that is shorter and longer than writing an answer takes
        for turn in 0..random.u32(0..4_000_000) {
            std::hint::black_box(turn);
        }
        child.kill().expect("killed");
        lines.for_each(|line| tell(line.expect("text")));
        child.wait().expect("gone");

        let mut records = folder.open();
        let found = records.answers(&learner).unwrap_or_else(|problem| panic!("round {round}: {problem}"));
        let count = found.len() as u64;
        assert!((acknowledged..=acknowledged + 1).contains(&count), "round {round}: {count}, told of {acknowledged}");
        for (number, one) in found.iter().enumerate() {
            assert_eq!(*one, answer(&learner, number as u64), "round {round}");
        }
        if count > 7 {
            assert!(records.name(&learner).is_some_and(|name| name.starts_with("Invented ")), "round {round}");
        }
        in_flight += count - acknowledged;
        // one that was written and not told is there for good
        acknowledged = count;
    }
    println!("{KILLS} kills, {acknowledged} answers kept, {in_flight} of them were written and not yet told of");
    assert!(acknowledged > KILLS as u64, "the children got to write: {acknowledged}");
}

#[test]
fn a_log_cut_anywhere_keeps_its_whole_lines_and_sets_the_rest_aside() {
    let learner = code("k7m2qd");
    let text = line::log(&learner, &answers(&learner, 4)).expect("a log").into_bytes();
    for cut in 0..=text.len() {
        let folder = Folder::new("cut");
        drop(folder.open());
        let (written, rest) = text.split_at(cut);
        fs::write(folder.log(&learner), written).expect("written");
        let mut records = folder.open();
        let found = records.answers(&learner).unwrap_or_else(|problem| panic!("{cut}: {problem}"));
        let ends = written.iter().filter(|byte| **byte == b'\n').count();
        // a line of which only its end is missing is there as well
        let unended = rest.starts_with(b"\n");
        // the first line is the heading
        let whole = (ends + usize::from(unended)).saturating_sub(1);
        assert_eq!(found, answers(&learner, whole as u64), "{cut}");
        let clean = unended || cut == 0 || written.ends_with(b"\n");
        let tail = written.rsplit(|byte| *byte == b'\n').next().expect("a tail");
        let aside = folder.set_aside();
        assert_eq!(aside.len(), usize::from(!clean), "{cut}");
        assert!(aside.iter().all(|(_, bytes)| bytes == tail), "{cut}");
        assert_eq!(records.take_notices().len(), usize::from(!clean), "{cut}");
        // and it goes on as if nothing had been
        records.append(&answer(&learner, found.len() as u64)).expect("kept");
        drop(records);
        let mut records = folder.open();
        assert_eq!(records.answers(&learner).expect("a log"), answers(&learner, found.len() as u64 + 1), "{cut}");
        assert!(records.take_notices().is_empty(), "{cut}: mended once");
    }
}

#[test]
fn any_changed_byte_costs_at_most_two_lines_and_never_passes_for_an_answer() {
    let learner = code("k7m2qd");
    let all = answers(&learner, 4);
    let text = line::log(&learner, &all).expect("a log").into_bytes();
    for place in 0..text.len() {
        for change in [0x01, 0x20, 0x80] {
            let mut changed = text.clone();
            changed[place] ^= change;
            let parsed = line::parse(&changed, &learner).expect("damage is no refusal");
            assert!(parsed.answers.iter().all(|answer| all.contains(answer)), "{place}");
            // a line feed that goes joins two lines; one that comes parts one
            assert!(parsed.answers.len() + 2 >= all.len(), "{place}");
            // a figure of the check sum may change its case and mean the same
            let same = changed.eq_ignore_ascii_case(&text) && parsed.answers == all;
            assert!(parsed.state != State::Whole || same, "{place}: {change:#x} is seen");
        }
    }
}

#[test]
fn a_damaged_log_is_moved_aside_whole_and_the_rest_rescued_and_told() {
    let folder = Folder::new("damaged");
    let learner = kept(&folder, "", 5);
    for time in 1..=3 {
        let mut bytes = fs::read(folder.log(&learner)).expect("a log");
        let middle = bytes.iter().position(|byte| *byte == b'\n').expect("a line") + 40;
        bytes[middle] ^= 1;
        fs::write(folder.log(&learner), &bytes).expect("written");
        let mut records = folder.open();
        assert_eq!(records.answers(&learner).expect("a log"), answers(&learner, 5)[time..]);
        let told = records.take_notices();
        says(&told[0], &format!("{} answers were rescued", 5 - time));
        assert_eq!(told[0].line, 2);
        let aside = folder.log(&learner).with_extension(format!("answers.damaged-{time}"));
        assert_eq!(fs::read(aside).expect("a copy"), bytes);
    }
}

#[test]
fn an_old_version_is_brought_up_to_date_and_a_newer_one_left_alone() {
    let framed = |json: &str| format!("{:08x} {json}\n", crc32fast::hash(json.as_bytes()));
    let folder = Folder::new("version");
    drop(folder.open());
    let learner = code("k7m2qd");
    let old = framed(r#"{"format_version":0,"learner":"k7m2qd"}"#)
        + &framed(
            r#"{"at_unix_s":5,"learner":"k7m2qd","item":"i","seed":1,"mode":"review","chosen":"a","correct":true}"#,
        );
    fs::write(folder.log(&learner), &old).expect("written");
    let mut records = folder.open();
    let found = records.answers(&learner).expect("a log");
    assert_eq!((found.len(), found[0].right, found[0].score), (1, true, 1.0));
    says(&records.take_notices()[0], "format_version 0");
    assert_eq!(fs::read_to_string(folder.log(&learner).with_extension("answers.version-0-1")).expect("a copy"), old);
    assert_eq!(fs::read_to_string(folder.log(&learner)).expect("a log"), line::log(&learner, &found).expect("a log"));

    let newer = framed(r#"{"format_version":2,"learner":"k7m2qd"}"#) + "what it may hold\n";
    fs::write(folder.log(&learner), &newer).expect("written");
    says(&records.answers(&learner).expect_err("refused"), "format_version 2");
    says(&records.append(&answer(&learner, 0)).expect_err("refused"), "format_version 2");
    assert_eq!(fs::read_to_string(folder.log(&learner)).expect("a log"), newer);
    drop(records);

    fs::write(folder.0.join("names.toml"), "format_version = 9\n[names]\n").expect("written");
    says(&error(&folder.0), "format_version is 9");
}

#[test]
fn a_folder_belongs_to_one_program_at_a_time() {
    let folder = Folder::new("lock");
    let records = folder.open();
    says(&error(&folder.0), "another program");
    drop(records);
    folder.open();
}

#[test]
fn names_stand_apart_and_a_broken_list_is_set_aside_and_told() {
    let folder = Folder::new("names");
    let learner = kept(&folder, "  Invented \"Ü\" = [x]  ", 2);
    for (path, bytes) in folder.files() {
        let named = String::from_utf8_lossy(&bytes).contains("Invented");
        assert_eq!(named, path.ends_with("names.toml"), "{}", path.display());
    }
    let path = folder.0.join("names.toml");
    let broken =
        fs::read_to_string(&path).expect("names") + "b2b2b2 = \"no end\nhello = \"no code\"\nc3c3c3 = \"Other\"\n";
    fs::write(&path, &broken).expect("written");
    let mut records = folder.open();
    assert_eq!(records.name(&learner), Some("Invented \"Ü\" = [x]"));
    assert_eq!(records.name(&code("c3c3c3")), Some("Other"));
    let told = records.take_notices();
    let lines: Vec<usize> = told.iter().map(|problem| problem.line).collect();
    assert_eq!((lines, told[0].mend.contains("names.toml.damaged-1")), (vec![6, 7], true), "{told:?}");
    assert_eq!(fs::read_to_string(folder.0.join("names.toml.damaged-1")).expect("a copy"), broken);
    drop(records);
    assert!(folder.open().take_notices().is_empty());
}

#[test]
fn an_export_has_everything_and_a_deletion_leaves_nothing() {
    let folder = Folder::new("delete");
    let gone = kept(&folder, "Invented Goner", 5);
    let stays = kept(&folder, "Invented Stayer", 3);
    // damage both the log and the list, so that copies of both are set aside
    let mut bytes = fs::read(folder.log(&gone)).expect("a log");
    bytes.extend(b"torn");
    fs::write(folder.log(&gone), bytes).expect("written");
    let names = fs::read_to_string(folder.0.join("names.toml")).expect("names");
    fs::write(folder.0.join("names.toml"), names + "broken\n").expect("written");
    fs::write(folder.log(&gone).with_extension("answers.4711.part"), "left over").expect("written");
    fs::write(folder.0.join("answers/notes.txt"), "not ours").expect("written");

    let mut records = folder.open();
    let export = records.export(&gone).expect("an export");
    let value: serde_json::Value = serde_json::from_str(&export).expect("JSON");
    assert_eq!(value["name"], "Invented Goner");
    let exported: Vec<Answer> = serde_json::from_value(value["answers"].clone()).expect("answers");
    assert_eq!(exported, answers(&gone, 5));
    assert_eq!(value["set_aside"].as_array().map(Vec::len), Some(2), "{export}");
    assert!(!export.contains("Stayer") && !export.contains(stays.as_str()));
    let whole = records.export_all().expect("an export");
    assert!(whole.contains("Invented Goner") && whole.contains("Invented Stayer"));

    records.delete(&gone).expect("deleted");
    for (path, bytes) in folder.files() {
        let text = String::from_utf8_lossy(&bytes).into_owned() + &path.to_string_lossy();
        assert!(!text.contains(gone.as_str()) && !text.contains("Goner"), "{}: {text}", path.display());
    }
    assert_eq!(records.learners().expect("learners"), std::slice::from_ref(&stays));
    assert_eq!(records.answers(&stays).expect("a log"), answers(&stays, 3));
    says(&records.delete(&gone).expect_err("refused"), "no learner");
    says(&records.export(&gone).expect_err("refused"), "no learner");

    records.delete_all().expect("deleted");
    let left: Vec<PathBuf> = folder.files().into_iter().map(|(path, _)| path).collect();
    assert_eq!(left.len(), 2, "the lock and what is not ours stay: {left:?}");
    assert!(records.learners().expect("learners").is_empty());
}

#[test]
fn an_answer_that_cannot_be_kept_is_refused_and_the_log_stays_as_it_was() {
    let folder = Folder::new("unfit");
    let learner = kept(&folder, "", 1);
    let before = fs::read(folder.log(&learner)).expect("a log");
    let mut records = folder.open();
    let good = answer(&learner, 1);
    for (bad, what) in [
        (Answer { score: f64::NAN, ..good.clone() }, "score"),
        (Answer { score: 1.1, ..good.clone() }, "score"),
        (Answer { seconds: f64::INFINITY, ..good.clone() }, "seconds"),
        (Answer { item: String::new(), ..good.clone() }, "id"),
        (Answer { chosen: "x".repeat(5_000), ..good.clone() }, "chosen"),
        (Answer { at_unix_s: i64::MAX, ..good.clone() }, "time"),
    ] {
        says(&records.append(&bad).expect_err(what), what);
        assert_eq!(fs::read(folder.log(&learner)).expect("a log"), before);
    }
    // the longest of everything, all of it escaped, fits in a line
    let long = Answer {
        item: "\0".repeat(200),
        chosen: "\0".repeat(2_000),
        misconception: Some("\0".repeat(2_000)),
        mode: Mode::Test { form: "\0".repeat(200) },
        ..good
    };
    records.append(&long).expect("kept");
    assert_eq!(records.answers(&learner).expect("a log").last(), Some(&long));
}

#[test]
fn a_folder_that_is_none_or_cannot_be_written_is_refused() {
    let folder = Folder::new("wrong");
    says(&error(&folder.0.join("missing")), "cannot be opened");
    let file = folder.0.join("file");
    fs::write(&file, "x").expect("written");
    says(&error(&file), "not a folder");
    fs::write(folder.0.join("answers"), "x").expect("written");
    says(&error(&folder.0), "not a folder");
    // a place where nobody may make files, not even the owner of the machine
    if cfg!(target_os = "linux") {
        says(&error(Path::new("/proc/self")), "cannot be written");
    }
}

#[test]
fn a_folder_that_vanishes_is_told_and_not_begun_anew() {
    let folder = Folder::new("vanish");
    let learner = kept(&folder, "Invented", 2);
    let mut records = folder.open();
    records.append(&answer(&learner, 2)).expect("kept");
    fs::remove_file(folder.log(&learner)).expect("removed");
    says(&records.append(&answer(&learner, 3)).expect_err("refused"), "not kept");
    fs::remove_dir_all(&folder.0).expect("removed");
    assert!(records.append(&answer(&learner, 3)).is_err());
    assert!(records.append(&answer(&code("b2b2b2"), 3)).is_err());
    assert!(records.rename(&learner, "Other").is_err());
    assert!(records.learners().is_err() && records.add("").is_err() && records.delete_all().is_err());
    assert!(!folder.0.exists());
}

#[test]
fn a_log_changed_from_outside_is_looked_at_again() {
    let folder = Folder::new("outside");
    let learner = kept(&folder, "", 2);
    let mut records = folder.open();
    records.append(&answer(&learner, 2)).expect("kept");
    let mut bytes = fs::read(folder.log(&learner)).expect("a log");
    bytes.extend(b"half a line of another pro");
    fs::write(folder.log(&learner), bytes).expect("written");
    records.append(&answer(&learner, 3)).expect("kept");
    assert_eq!(records.answers(&learner).expect("a log"), answers(&learner, 4));
    says(&records.take_notices()[0], "interrupted");
}

#[test]
fn hostile_files_are_refused_or_set_aside_within_bounds() {
    let folder = Folder::new("hostile");
    let learner = kept(&folder, "", 1);
    let good = fs::read(folder.log(&learner)).expect("a log");
    let set = |bytes: &[u8]| fs::write(folder.log(&learner), bytes).expect("written");
    let framed = |json: &str| format!("{:08x} {json}\n", crc32fast::hash(json.as_bytes())).into_bytes();

    // too large to be read: neither read nor moved
    fs::File::options()
        .write(true)
        .open(folder.log(&learner))
        .and_then(|file| file.set_len(40 * 1024 * 1024 * 1024))
        .expect("a sparse file");
    let mut records = folder.open();
    says(&records.answers(&learner).expect_err("refused"), "bytes that are read");
    says(&records.append(&answer(&learner, 1)).expect_err("refused"), "bytes that are read");
    assert!(records.all_answers().expect("the others").is_empty());
    says(&records.take_notices()[0], "bytes that are read");

    // lines with a good check sum that hold something else
    for json in [
        "[".repeat(10_000),
        "null".to_owned(),
        r#"{"at_unix_s":"x"}"#.to_owned(),
        serde_json::to_string(&answer(&code("b2b2b2"), 1)).expect("JSON"),
        r#"{"at_unix_s":5,"learner":"k7m2qd","item":"i","seed":-1,"mode":"review","chosen":"a","right":true,"score":7,"seconds":1e999}"#
            .to_owned(),
    ] {
        let mut bytes = good.clone();
        bytes.extend(framed(&json));
        set(&bytes);
        assert_eq!(records.answers(&learner).expect("a log"), answers(&learner, 1), "{json:.40}");
        says(&records.take_notices()[0], "line 3");
    }
    for rubbish in [vec![0; 100_000], vec![b'\n'; 100_000], vec![0xff; 1_000], b"PK\x03\x04\n".to_vec()] {
        set(&rubbish);
        assert!(records.answers(&learner).expect("a log").is_empty());
        assert!(!records.take_notices().is_empty());
        records.append(&answer(&learner, 0)).expect("kept");
    }

    // names that lead elsewhere are nobody's
    for name in ["..answers", "K7M2QD.answers", "k7m2qd", "k7m2qd.answersx", "con.answers"] {
        fs::write(folder.0.join("answers").join(name), "x").expect("written");
    }
    assert_eq!(records.learners().expect("learners"), std::slice::from_ref(&learner));

    // something else in place of a log
    fs::remove_file(folder.log(&learner)).expect("removed");
    fs::create_dir(folder.log(&learner)).expect("a folder");
    says(&records.answers(&learner).expect_err("refused"), "not a file");
    fs::remove_dir(folder.log(&learner)).expect("removed");
    #[cfg(unix)]
    {
        let other = Folder::new("hostile_target");
        fs::write(other.0.join("precious"), "precious").expect("written");
        std::os::unix::fs::symlink(other.0.join("precious"), folder.log(&learner)).expect("a link");
        says(&records.answers(&learner).expect_err("refused"), "link");
        assert!(records.append(&answer(&learner, 0)).is_err());
        fs::remove_file(folder.log(&learner)).expect("removed");
        std::os::unix::fs::symlink(other.0.join("precious"), folder.0.join("names.toml")).expect("a link");
        says(&records.rename(&learner, "x").expect_err("refused"), "link");
        drop(records);
        says(&error(&folder.0), "link");
        assert_eq!(other.files().len(), 1);
        assert_eq!(fs::read_to_string(other.0.join("precious")).expect("a file"), "precious");
    }
}

#[test]
fn codes_are_drawn_at_random() {
    let folder = Folder::new("codes");
    let mut records = folder.open();
    let mut codes: Vec<LearnerCode> = (0..40).map(|_| records.add("").expect("a learner")).collect();
    codes.sort();
    assert_eq!(records.learners().expect("learners"), codes);
    let other = Folder::new("other_codes").open().add("").expect("a learner");
    assert!(!codes.contains(&other), "one in ten million");
}

#[test]
fn a_log_of_another_learner_is_left_alone() {
    let learner = code("k7m2qd");
    let text = line::log(&learner, &answers(&learner, 1)).expect("a log");
    let other = code("b2b2b2");
    assert_eq!(line::parse(text.as_bytes(), &other), Err(Refusal::Other(learner)));
}
