use second_breath::content::exchange::qti::{self, Imported, LARGEST_PACKAGE_BYTES, export, import};
use second_breath::content::exchange::{ExchangeItem, ExchangeKind, ExchangeOption, Tolerance};
use std::io::{Cursor, Read, Write};
use zip::write::SimpleFileOptions;
use zip::{ZipArchive, ZipWriter};

pub fn items() -> Vec<ExchangeItem> {
    let option = |id: &str, text: &str, feedback: &str, right| ExchangeOption {
        id: id.to_owned(),
        text: text.to_owned(),
        feedback: feedback.to_owned(),
        right,
    };
    let numeric = |id: &str, key, tolerance, unit: &str, right: &str, wrong: &str| ExchangeItem {
        id: id.to_owned(),
        title: "Air demand".to_owned(),
        stem: "What does the engine ask for?".to_owned(),
        kind: ExchangeKind::Numeric {
            key,
            tolerance,
            unit: unit.to_owned(),
            right: right.to_owned(),
            wrong: wrong.to_owned(),
        },
        outcomes: Vec::new(),
    };
    vec![
        ExchangeItem {
            id: "why_fuel-rises.1".to_owned(),
            title: "Why fuel rises <&> \"so\"".to_owned(),
            stem: "Air speeds up in the venturi & its pressure falls: p < 1 bar.\n\nWhat lifts the fuel, \u{fc}ber \u{3bb}?".to_owned(),
            kind: ExchangeKind::Choice {
                options: vec![
                    option("a", "The bowl's air pushes it <up>", "Yes: \"pressure\" & nothing else.", true),
                    option("b", "The engine sucks it up ]]>", "Nothing can pull at a liquid.", false),
                    option("_c", "&amp; the pump lifts it", "", false),
                ],
            },
            outcomes: vec![1, 14],
        },
        numeric("demand", 612.345_678_9, Tolerance::Percent(2.5), "cfm", "Right.", "Did you forget the \u{f7} 2?"),
        numeric("exact", -0.1, Tolerance::Absolute(0.0), "", "", ""),
        numeric("small", 1.5e-7, Tolerance::Absolute(1e-9), "kg/s", "", "No."),
    ]
}

/// A zip of these files.
fn zipped(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        zip.start_file(*name, SimpleFileOptions::default()).expect("a file");
        zip.write_all(bytes).expect("written");
    }
    zip.finish().expect("a zip").into_inner()
}

/// A file of a package.
pub fn file(bytes: &[u8], name: &str) -> String {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).expect("a zip");
    let mut text = String::new();
    archive.by_name(name).expect("the file").read_to_string(&mut text).expect("text");
    text
}

fn manifest(hrefs: &[&str]) -> String {
    let resource = |href: &&str| format!("<resource identifier='r' type='imsqti_item_xmlv2p2' href='{href}'/>\n");
    let resources: String = hrefs.iter().map(resource).collect();
    format!("<manifest xmlns='http://www.imsglobal.org/xsd/imscp_v1p1'><resources>\n{resources}</resources></manifest>")
}

/// What a package of one item with this text gives.
fn of_item(text: &str) -> Imported {
    let bytes = zipped(&[("imsmanifest.xml", manifest(&["i.xml"]).as_bytes()), ("i.xml", text.as_bytes())]);
    import(&bytes, "p.zip").unwrap_or_else(|problem| panic!("{problem}"))
}

/// The reason why an item is not taken.
fn refused(text: &str) -> String {
    let found = of_item(text);
    assert_eq!((found.items.len(), found.not_taken.len()), (0, 1), "{text:.300}");
    let problem = &found.not_taken[0];
    assert!(problem.file.contains("p.zip") && !problem.mend.is_empty(), "{problem}");
    problem.to_string()
}

fn choice() -> String {
    file(&export(&items()).expect("a package"), "items/why_fuel-rises.1.xml")
}

fn number() -> String {
    file(&export(&items()).expect("a package"), "items/demand.xml")
}

#[test]
fn items_come_back_the_same() {
    let bytes = export(&items()).expect("a package");
    assert_eq!(bytes, export(&items()).expect("a package"), "and so do the bytes");
    let found = import(&bytes, "p.zip").expect("a package");
    assert_eq!(found.not_taken, []);
    assert_eq!(found.items, items());
}

#[test]
fn random_items_come_back_the_same() {
    let mut random = fastrand::Rng::with_seed(11);
    let alphabet: Vec<char> = "abc <>&\"'=]\t\n\u{e9}\u{1f600}\u{a0}/#;".chars().collect();
    for round in 0..300 {
        let mut text = |most: usize| -> String {
            let length = random.usize(0..most);
            "x".chars().chain((0..length).map(|_| alphabet[random.usize(0..alphabet.len())])).collect()
        };
        let (title, stem, unit) = (text(30), text(200), text(8));
        let options: Vec<ExchangeOption> = (0..3)
            .map(|place| ExchangeOption {
                id: format!("o{place}"),
                text: text(40),
                feedback: text(60),
                right: place == 1,
            })
            .collect();
        let kind = if round % 2 == 0 {
            ExchangeKind::Choice { options }
        } else {
            let key = (random.f64() - 0.5) * 10f64.powi(random.i32(-20..20));
            let tolerance = Tolerance::Percent(random.f64() * 10.0);
            ExchangeKind::Numeric { key, tolerance, unit, right: String::new(), wrong: "No".to_owned() }
        };
        let item = ExchangeItem { id: format!("i{round}"), title, stem, kind, outcomes: vec![round % 24 + 1] };
        let found = import(&export(std::slice::from_ref(&item)).expect("a package"), "p.zip").expect("a package");
        assert_eq!(found.not_taken, [], "{item:?}");
        assert_eq!(found.items, [item.tidied()]);
    }
}

#[test]
fn a_file_of_another_hand_is_understood() {
    let text = r#"<?xml version="1.0"?><!-- by hand -->
<qti:assessmentItem xmlns:qti="http://www.imsglobal.org/xsd/imsqti_v2p1" identifier="hand" title="By hand" timeDependent="false">
  <qti:responseDeclaration identifier="ANSWER" cardinality="single" baseType="identifier">
    <qti:correctResponse><qti:value> two </qti:value></qti:correctResponse>
  </qti:responseDeclaration>
  <qti:itemBody><qti:div>Loose words.
    <qti:p>Some <qti:em>plain</qti:em> text.</qti:p>
    <qti:choiceInteraction responseIdentifier="ANSWER" maxChoices="1"><qti:prompt>Which
       one?</qti:prompt>
      <qti:simpleChoice identifier="one">First<qti:feedbackInline outcomeIdentifier="F" identifier="one">No.</qti:feedbackInline></qti:simpleChoice>
      <qti:simpleChoice identifier="two"><![CDATA[Second & last]]></qti:simpleChoice>
    </qti:choiceInteraction></qti:div></qti:itemBody>
  <qti:responseProcessing template="http://www.imsglobal.org/question/qti_v2p1/rptemplates/match_correct"/>
</qti:assessmentItem>"#;
    let found = of_item(text);
    assert_eq!(found.not_taken, []);
    let item = &found.items[0];
    assert_eq!(item.stem, "Loose words.\n\nSome plain text.\n\nWhich one?");
    let ExchangeKind::Choice { options } = &item.kind else { panic!("a choice") };
    let short: Vec<_> = options.iter().map(|o| (o.text.as_str(), o.feedback.as_str(), o.right)).collect();
    assert_eq!(short, [("First", "No.", false), ("Second & last", "", true)]);
}

#[test]
fn what_lies_beyond_the_subset_is_not_taken_and_the_reason_said() {
    let choice = choice();
    let number = number();
    for (text, from, to, why) in [
        (&choice, "imsqti_v2p2\"", "imsqti_v3p0\"", "not an item of QTI"),
        (&choice, "maxChoices=\"1\"", "maxChoices=\"0\"", "more than one option"),
        (&choice, "<match>", "<mapResponse identifier=\"RESPONSE\"/><match>", "scored by mapResponse"),
        (&choice, "adaptive=\"false\"", "adaptive=\"true\"", "adapts"),
        (&choice, "<itemBody>", "<itemBody><p><img src=\"x\" alt=\"x\"/></p>", "img"),
        (&choice, "<itemBody>", "<itemBody><p>10<sup>2</sup></p>", "sup"),
        (&choice, "<itemBody>", "<itemBody><object data=\"../../secret\"/>", "object"),
        (&choice, "choiceInteraction", "orderInteraction", "orderInteraction"),
        (&choice, "<itemBody>", "<stylesheet href=\"http://x.invalid\"/><itemBody>", "stylesheet"),
        (&choice, "<value>a</value>", "<value>a</value><value>b</value>", "more than one value"),
        (&choice, "<value>a</value>", "<value>z</value>", "exactly one option is right"),
        (
            &choice,
            "<modalFeedback outcomeIdentifier=\"FEEDBACK\" identifier=\"b\"",
            "<modalFeedback identifier=\"z\"",
            "none",
        ),
        (&choice, "identifier=\"_c\"", "identifier=\"b\"", "two options have the id b"),
        (&choice, "identifier=\"why_fuel-rises.1\"", "identifier=\"../x\"", "an id begins"),
        (&number, ">612.3456789<", ">many<", "not a number"),
        (&number, ">612.3456789<", ">NaN<", "must be a number"),
        (&number, "\"2.5 2.5\"", "\"1 2\"", "both sides"),
        (&number, "\"2.5 2.5\"", "\"-1 -1\"", "0 or more"),
        (
            &number,
            "<correct identifier=\"RESPONSE\"/>",
            "<baseValue baseType=\"float\">3</baseValue>",
            "something else",
        ),
        (&number, "toleranceMode=\"relative\"", "toleranceMode=\"loose\"", "kind of tolerance"),
    ] {
        let changed = text.replace(from, to);
        assert_ne!(changed, *text, "{from} is there");
        let told = refused(&changed);
        assert!(told.contains(why), "{to}: {told}");
    }
    let string = number.replacen("baseType=\"float\"", "baseType=\"string\"", 1);
    assert!(refused(&string).contains("type string"));
}

#[test]
fn what_is_no_sound_xml_is_not_taken() {
    let choice = choice();
    let bomb = "<!DOCTYPE x [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;\">]>";
    let file = "<!DOCTYPE x [<!ENTITY a SYSTEM \"file:///etc/passwd\">]>";
    for (text, why) in [
        (choice.replacen("<assessmentItem", &format!("{bomb}<assessmentItem"), 1), "document type"),
        (choice.replacen("<assessmentItem", &format!("{file}<assessmentItem"), 1), "document type"),
        (choice.replacen("venturi", "&a;", 1), "entity a"),
        (choice.replacen("venturi", "&#xD800;", 1), "not XML"),
        (choice.replacen("</itemBody>", "", 1), "not XML"),
        (choice[..choice.len() / 2].to_owned(), "ends too early"),
        ("<a>".repeat(200_000), "nested deeper"),
        (format!("<a>{}</a>", "<b/>".repeat(100_000)), "elements"),
        (choice.replacen("adaptive", &(0..60).map(|n| format!("a{n}='' ")).collect::<String>(), 1), "attributes"),
        (format!("{choice}{choice}"), "second root"),
        (String::new(), "ends too early"),
        ("\0\u{1}".to_owned(), ""),
    ] {
        let told = refused(&text);
        assert!(told.contains(why), "{why}: {told}");
    }
}

#[test]
fn a_package_reaches_nothing_outside_itself() {
    let good = choice();
    let hrefs = [
        "../i.xml",
        "/etc/passwd",
        "a/../../i.xml",
        "C:\\i.xml",
        "file:///etc/passwd",
        "http://x.invalid/i",
        "none.xml",
    ];
    let mut all = hrefs.to_vec();
    all.extend(["i.xml", "i.xml"]);
    let bytes = zipped(&[
        ("imsmanifest.xml", manifest(&all).as_bytes()),
        ("i.xml", good.as_bytes()),
        ("../i.xml", good.as_bytes()),
        ("/etc/passwd", good.as_bytes()),
    ]);
    let found = import(&bytes, "p.zip").expect("a package");
    assert_eq!(found.items.len(), 1, "the one that is inside");
    assert_eq!(found.not_taken.len(), hrefs.len() + 1);
    assert_eq!(found.not_taken.iter().filter(|problem| problem.message.contains("leads out")).count(), hrefs.len() - 1);
    assert!(found.not_taken.iter().any(|problem| problem.message.contains("second item")));
}

#[test]
fn bombs_are_unpacked_no_further_than_the_bounds() {
    let zeros = vec![b' '; 64 * 1024 * 1024];
    let bytes = zipped(&[("imsmanifest.xml", manifest(&["i.xml"]).as_bytes()), ("i.xml", &zeros)]);
    assert!(bytes.len() < 200_000, "it is a bomb");
    let found = import(&bytes, "p.zip").expect("a package");
    assert!(found.not_taken[0].message.contains("unpacks to more"), "{:?}", found.not_taken);
    // many that are each just within the bound
    let hrefs = vec!["i.xml"; 100];
    let bytes = zipped(&[("imsmanifest.xml", manifest(&hrefs).as_bytes()), ("i.xml", &zeros[..1024 * 1024])]);
    let found = import(&bytes, "p.zip").expect("a package");
    let cut = found.not_taken.iter().filter(|problem| problem.message.contains("unpacks to more")).count();
    assert!(cut >= 68, "32 MiB and no more are unpacked: {cut}");
    let bytes = zipped(&[("imsmanifest.xml", &zeros)]);
    assert!(import(&bytes, "p.zip").expect_err("refused").message.contains("unpacks to more"));
    let huge = vec![0; LARGEST_PACKAGE_BYTES + 1];
    assert!(import(&huge, "p.zip").expect_err("refused").message.contains("bytes that are read"));
}

#[test]
fn what_is_no_package_is_refused() {
    let wrong = |bytes: &[u8], why: &str| {
        let problem = import(bytes, "p.zip").expect_err("refused");
        assert!(problem.to_string().contains(why) && problem.file.contains("p.zip"), "{problem}");
    };
    wrong(b"", "not a zip");
    wrong(b"<xml/>", "not a zip");
    wrong(&zipped(&[("other.xml", b"<a/>")]), "imsmanifest.xml");
    wrong(&zipped(&[("imsmanifest.xml", b"<a/>")]), "not the manifest");
    wrong(&zipped(&[("imsmanifest.xml", b"\xff\xfe")]), "UTF-8");
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    zip.add_symlink("imsmanifest.xml", "/etc/passwd", SimpleFileOptions::default()).expect("a link");
    wrong(&zip.finish().expect("a zip").into_inner(), "not a file");
    assert!(qti::read(&std::env::temp_dir().join("second_breath_no_such_package.zip")).is_err());
    assert!(qti::read(&std::env::temp_dir()).is_err(), "a folder");
}

#[test]
fn a_package_with_any_changed_byte_is_refused_or_read_without_harm() {
    let bytes = export(&items()).expect("a package");
    let mut refused = 0;
    for place in 0..bytes.len() {
        let mut changed = bytes.clone();
        changed[place] ^= 0xff;
        refused += usize::from(import(&changed, "p.zip").map_or(true, |found| !found.not_taken.is_empty()));
    }
    // the zip's own check sums see every change of the content, which is most of it
    assert!(refused > bytes.len() / 2, "{refused} of {}", bytes.len());
}

#[test]
fn items_that_cannot_go_out_are_told_by_their_number() {
    let mut bad = items();
    bad[1].id = "Why_Fuel-rises.1".to_owned();
    bad[2].title = " ".to_owned();
    bad[3].stem = "a\u{1}".to_owned();
    if let ExchangeKind::Choice { options } = &mut bad[0].kind {
        options[0].right = false;
    }
    let problems = export(&bad).expect_err("refused").0;
    assert_eq!(problems.iter().map(|problem| problem.line).collect::<Vec<_>>(), [1, 2, 3, 4]);
    for (problem, why) in problems.iter().zip(["exactly one", "same id", "title is empty", "control character"]) {
        assert!(problem.message.contains(why), "{problem}");
    }
}
