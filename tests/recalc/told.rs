//! How faults of several items are told.

use polepair::quantity::System;
use polepair::recalc::{Engine, Showing};
use polepair::session::Session;
use polepair::workbook::change::Change;
use polepair::workbook::text::read;

fn told(text: &str) -> Vec<(Option<String>, String, Option<String>)> {
    let engine = Engine::new(read(text));
    let faults = engine.results().faults.iter();
    faults
        .map(|placed| {
            (
                placed.item.clone(),
                placed.fault.message.to_string(),
                placed.fault.help.as_ref().map(ToString::to_string),
            )
        })
        .collect()
}

#[test]
fn cases_with_the_same_fault_are_told_together() {
    let all = told("polepair 1\nsheet s\n  cases a | b | c\n  given x = 0\n  work y = 1 / x\n");
    assert_eq!(all.len(), 1, "{all:?}");
    assert_eq!(all[0].0, None);
    assert_eq!(all[0].1, "the divisor is zero: `x` is 0 (in all cases)");
    let two = told("polepair 1\nsheet s\n  cases a | b | c\n  given x = 0 | 1 | 0\n  work y = 1 / x\n");
    assert_eq!(two.len(), 1, "{two:?}");
    assert_eq!(two[0].1, "the divisor is zero: `x` is 0 (in the cases a, c)");
    let one = told("polepair 1\nsheet s\n  cases a | b | c\n  given x = 1 | 1 | 0\n  work y = 1 / x\n");
    assert_eq!(one[0].0.as_deref(), Some("c"));
    assert_eq!(one[0].1, "the divisor is zero: `x` is 0");
}

#[test]
fn rows_of_a_short_list_are_told_one_by_one() {
    let rows = told(
        "polepair 1\nlist m\n  given tag : text\n  given x\n  work y = 1 / x\n  rows tag | x\n    \"a\" | 0\n    \"b\" | 1\n    \"c\" | 0\n",
    );
    let items: Vec<Option<&str>> = rows.iter().map(|(item, ..)| item.as_deref()).collect();
    assert_eq!(items, [Some("a"), Some("c")]);
}

#[test]
fn a_text_without_quotes_is_told_to_have_them() {
    let rows = told("polepair 1\nlist m\n  given tag : text\n  rows tag\n    pump\n");
    assert_eq!(rows.len(), 1, "{rows:?}");
    assert_eq!(rows[0].2.as_deref(), Some("a text stands in quotes: \"pump\""));
}

#[test]
fn a_fault_in_a_row_stands_at_its_column_in_the_file() {
    let text = "polepair 1\nlist m\n  given tag : text\n  given x\n  work y = 1 / x\n  rows tag | x\n    \"long\" | 2\n    \"b\"    | nix\n  \"c\" | 1,5\n";
    let engine = Engine::new(read(text));
    let at: Vec<(u32, u32)> = engine
        .results()
        .faults
        .iter()
        .map(|placed| (placed.line, placed.column))
        .collect();
    for (line, column) in at.iter().copied() {
        let line = text.lines().nth(line as usize - 1).unwrap();
        let from: String = line.chars().skip(column as usize - 1).collect();
        assert!(from.starts_with("nix") || from.starts_with("1,5"), "{from}");
    }
    assert_eq!(at.len(), 2);
}

#[test]
fn what_reads_a_cell_that_cannot_be_read_names_it() {
    let engine = Engine::new(read(
        "polepair 1\nsheet s\n  cases dry | wet\n  given v = 1.6 m/s | 1,9 m/s\n  work F = v * (2 kg/s) in N\n  work G = 2 * F\n",
    ));
    let said = |quantity: usize, item: usize| match &engine.results().sheets[0].quantities[quantity].cells[item] {
        polepair::language::work::Outcome::Fault(fault) => fault.message.to_string(),
        other => format!("{other:?}"),
    };
    assert_eq!(said(0, 1), "`1,9` can be read as 1.9 or as the values 1, 9");
    assert_eq!(said(1, 1), "not worked: v has a fault");
    assert_eq!(said(2, 1), "not worked: v has a fault");
    assert!(said(2, 0).contains("6.4"), "{}", said(2, 0));
}

/// What is zero is named: behind a function of the library, below a power, in one row of a long list, before an unknown.
#[test]
fn a_zero_is_named() {
    for (formula, named) in [
        ("1 / i", Some("i")),
        ("torque_at_motor(100 N·m, i, 90 %) in N·m", Some("i")),
        ("inertia_at_motor(1 kg·m², i) in kg·m²", Some("i")),
        ("5 / (k * i)", Some("i")),
        ("i^-2", Some("i")),
        ("1 / (k - 5)", None),
    ] {
        let all = told(&format!(
            "polepair 1\nsheet s\n  given i = 0 : ratio\n  given k = 5 : ratio\n  work y = {formula}\n"
        ));
        let wanted = named.map_or_else(String::new, |name| format!(": `{name}` is 0"));
        assert_eq!(all.len(), 1, "{formula}: {all:?}");
        assert_eq!(all[0].1, format!("the divisor is zero{wanted}"), "{formula}");
    }
    let rows: String = (0..40).map(|row| format!("    {} | 1\n", row % 39 + 1)).collect();
    let long = told(&format!(
        "polepair 1\nlist m\n  given x\n  given y\n  work z = y / x\n  rows x | y\n{rows}    0 | 1\n"
    ));
    assert_eq!(long.len(), 1);
    assert_eq!(long[0].1, "the divisor is zero: `x` is 0");
    let all = told("polepair 1\nsheet s\n  given k = 0 : ratio\n  seek x such that k * x = 3 : ratio\n");
    assert!(all[0].1.ends_with(": `k` is 0"), "{all:?}");
}

/// `j` is taken; whoever names a quantity so is told, and where it is used as well.
#[test]
fn the_imaginary_unit_is_no_inertia() {
    let all = told(
        "polepair 1\nsheet s\n  given j = 5 kg·m² : inertia\n  work t = run_up_time(9 N·m, 1 N·m, j, 0 r/min, 900 r/min) in s\n",
    );
    assert_eq!(all.len(), 2, "{all:?}");
    assert_eq!(
        all[0].1,
        "`j` is the imaginary unit of phasors and cannot be the name of a quantity"
    );
    assert!(all[0].2.as_ref().unwrap().contains("`J` for an inertia"));
    assert!(
        all[1].2.as_ref().unwrap().contains("an inertia is called `J`"),
        "{all:?}"
    );
}

/// Where a curve is asked for, its value at one place is no curve; a torque that is no curve of anything is one that stays the same.
#[test]
fn a_value_of_a_curve_is_no_curve() {
    for (argument, said, help) in [
        (
            "T_M(700 r/min)",
            "`T_M(700 r/min)` is its value at one of them",
            "write the name alone: `T_M`",
        ),
        ("T_M(n)", "`n` has no value here", "write the name alone: `T_M`"),
        (
            "torque_by_breakdown(slip(1500 r/min, n), 260 N·m, 15 %)",
            "this call is its value at one place",
            "`curve T(n : shaft speed) in N·m = torque_by_breakdown(slip(1500 r/min, n), 260 N·m, 15 %)`",
        ),
        (
            "linear_load(900 r/min, 8 N·m, 950 r/min)",
            "this call is its value at one place",
            "`curve T(",
        ),
    ] {
        let all = told(&format!(
            "polepair 1\nsheet s\n  curve T_M(n : shaft speed) in N·m = linear_load(n, 80 N·m, 900 r/min)\n  work t = run_up_time({argument}, 1 N·m, 5 kg·m², 0 r/min, 900 r/min) in s\n"
        ));
        assert_eq!(all.len(), 1, "{argument}: {all:?}");
        assert!(all[0].1.contains(said), "{all:?}");
        assert!(all[0].2.as_ref().unwrap().contains(help), "{all:?}");
    }
    let stays = told(
        "polepair 1\nsheet s\n  work t = run_up_time(torque(9 kW, 900 r/min), 1 N·m, 5 kg·m², 0 r/min, 900 r/min) in s\n",
    );
    assert!(stays.is_empty(), "{stays:?}");
}

/// A given that its kind cannot be is told with what was probably meant; settled, it is set apart; put right, it is gone.
#[test]
fn a_given_beyond_its_kind_is_told() {
    let one = |line: &str| told(&format!("polepair 1\nsheet s\n  {line}\n"));
    for (line, said, likely) in [
        (
            "given eta = 120 % : gear efficiency",
            "`eta` is 120 %; a value of the kind gear efficiency is between 0 and 100 %",
            "service factor",
        ),
        (
            "given pf = 1.2 : power factor",
            "`pf` is 1.2; a value of the kind power factor is between -1 and 1",
            "85 %",
        ),
        (
            "given s = 3 : slip",
            "`s` is 3; a value of the kind slip is between -200 and 200 %",
            "3 %",
        ),
        (
            "given p = 3 pole : poles",
            "`p` is 3 pole; a value of the kind poles is 2, 4, 6 pole and so on",
            "6 pole",
        ),
        (
            "given T = -500 °F : temperature",
            "`T` is -500 °F; a value of the kind temperature is not below -273.15 °C",
            "colder",
        ),
        (
            "given J = -2 lb·ft² : inertia",
            "`J` is -2 lb·ft²; a value of the kind inertia is not below 0 kg·m²",
            "sign",
        ),
    ] {
        let all = one(line);
        assert_eq!(all.len(), 1, "{line}: {all:?}");
        assert_eq!(all[0].1, said);
        assert!(all[0].2.as_ref().unwrap().contains(likely), "{all:?}");
        assert!(one(&format!("{line}\n    accept beyond-kind \"a test\"")).is_empty());
    }
    for line in [
        "given eta = 1 : motor efficiency",
        "given pf = -1 : power factor",
        "given p = 12 pole : poles",
        "given T = -459.67 °F : temperature",
        "given h = 8760 h/yr : hours per year",
        // Worked from givens, it says something of them, and is no typing mistake.
        "work eta = 1.2 : motor efficiency",
        "given k = 1.2 : ratio",
    ] {
        assert!(one(line).is_empty(), "{line}");
    }
    let list = "polepair 1\nlist m\n  given pf : power factor\n  rows pf\n    0.85\n    1.15\n";
    let mut engine = Engine::new(read(list));
    let count = |engine: &Engine| engine.results().faults.len();
    assert_eq!(count(&engine), 1);
    assert_eq!(engine.results().faults[0].line, 6);
    let set = |text: &str| Change::SetCell {
        list: "m".into(),
        row: 1,
        quantity: "pf".into(),
        text: text.into(),
    };
    engine.apply(&set("0.86")).unwrap();
    assert_eq!(count(&engine), 0);
    engine.apply(&set("86")).unwrap();
    assert_eq!(count(&engine), 1);
}

/// A wrong sign, a bracket left open or a unit that is not known in one case: the others live, and their unit stays.
#[test]
fn what_is_wrong_in_one_case_leaves_the_others_alive() {
    for wrong in [
        "~18 m",
        "15 m; 18 m",
        "18 m +- 2 m",
        "tork(",
        "5 == 3",
        "18 metres",
        "2 m & 3 m",
        "18 kW",
        "18",
    ] {
        for (first, second) in [("17 ft", wrong), (wrong, "17 ft")] {
            let engine = Engine::new(read(&format!(
                "polepair 1\nsheet s\n  cases dry | wet\n  given H = {first} | {second} : height\n  work G = 2 * H in ft\n"
            )));
            let good = usize::from(first == wrong);
            let quantities = &engine.results().sheets[0].quantities;
            let number = |quantity: usize, item: usize| {
                let number = quantities[quantity].cells[item].as_number()?;
                Some(number.to_f64())
            };
            assert_eq!(number(0, good), Some(17.0), "{first} | {second}");
            assert_eq!(number(1, good), Some(34.0), "{first} | {second}");
            assert_eq!(number(0, 1 - good), None, "{first} | {second}");
            match &quantities[0].sort {
                polepair::language::check::Sort::Quantity { unit, .. } => {
                    assert_eq!(&*unit.text, "ft", "{first} | {second}")
                }
                other => panic!("{other:?}"),
            }
        }
    }
}

/// What one presses is what was meant.
#[test]
fn what_is_offered_for_a_unit_or_a_per_cent_reads_well() {
    for (line, offered) in [
        ("given T = 100 ft·lb : torque", "write 100 lbf·ft"),
        ("given n = 1450 min-1 : shaft speed", "write 1450 r/min"),
        ("given eta = 91 : motor efficiency", "write 91 %"),
        ("given pf = 85 : power factor", "write 85 %"),
        ("given eta = 0.92 % : motor efficiency", "write 92 %"),
        ("check 88 % <= 90", "write 90 %"),
    ] {
        let of = |line: &str| format!("polepair 1\nsheet s\n  {line}\n");
        let engine = Engine::new(read(&of(line)));
        let faults = &engine.results().faults;
        assert_eq!(faults.len(), 1, "{line}");
        let fixes: Vec<&str> = faults[0].fault.fixes.iter().map(|fix| fix.label.as_str()).collect();
        assert_eq!(fixes, [offered], "{line}");
        let fix = &faults[0].fault.fixes[0];
        let source = &faults[0].source;
        let mended = format!(
            "{}{}{}",
            &source[..fix.span.start as usize],
            fix.replacement.as_str(),
            &source[fix.span.end as usize..]
        );
        assert!(told(&of(mended.trim())).is_empty(), "{mended}");
    }
}

/// A count is a whole number that nothing rounded: 12345 pieces are not 12350. By hand: 5 · 2469 = 12345; what is divided or has a unit keeps
/// its four digits.
#[test]
fn counts_are_shown_in_all_their_digits() {
    let text = "polepair 1\nsheet s\n  given x = 2469\n  work n = 5 * x\n  work part = 37035 / 3 + 0.4\n  work P = 5 * x * 1 W in W\n  \
                work some = 5 * x to 2 digits\n  work all = n + 1\n";
    let session = Session::open(text);
    let results = session.results();
    assert!(results.faults.is_empty(), "{:?}", results.faults);
    let shown = |name: &str| {
        let quantity = results.sheets[0]
            .quantities
            .iter()
            .find(|known| &*known.name == name)
            .unwrap();
        Showing::of(quantity, System::AsWritten).whole(&quantity.cells[0])
    };
    assert_eq!(
        ["n", "part", "P", "some", "all"].map(shown),
        ["12345", "12350", "12350 W", "12000", "12346"]
    );
    // The substitution of a trace holds the same.
    let place = results.sheets[0]
        .quantities
        .iter()
        .position(|known| &*known.name == "all")
        .unwrap();
    let trace = session.trace_in(0, place, 0, System::AsWritten).unwrap();
    assert_eq!(
        (trace.substituted.as_str(), trace.result.as_str()),
        ("12345 + 1", "12346")
    );
}

/// A curve, a definition or a plot that is typed is checked before it stands, and told where it is wrong.
#[test]
fn lines_without_a_column_are_looked_at_before_they_stand() {
    let session = Session::open("polepair 1\nsheet s\n  given P = 15 kW\n  given n = 1450 r/min\n");
    for (line, wrong) in [
        ("curve T_L(m : shaft speed) in N·m = P / m", None),
        ("curve T_L(m : shaft speed) in N·m = P * m", Some("P * m")),
        (
            "curve T_L(m : shaft speed) in N·m through (0 r/min, 30 N·m), (9 r/min, 3 kW)",
            Some("3 kW"),
        ),
        ("define f(m : shaft speed) = P / m", None),
        ("define f(m : shaft speed) = P + m", Some("m")),
        ("plot P / m for m from 100 r/min to n", None),
        ("plot T_X for m from 100 r/min to n", Some("T_X")),
        ("note \"Anything.\"", None),
    ] {
        let look = session.look_line("s", line).unwrap();
        let told = look.faults.iter().find(|fault| fault.is_error());
        assert_eq!(told.map(|fault| fault.span.of(line)), wrong, "{line}: {told:?}");
    }
}

/// A text without quotes in a list gets no line of its own.
#[test]
fn an_unknown_name_is_told_by_where_it_stands() {
    let help = |text: &str| told(text)[0].2.clone().unwrap();
    assert!(help("polepair 1\nsheet s\n  work x = area * 2\n").contains("a line of its own"));
    let list =
        "polepair 1\nlist m\n  given tag : text\n  given x\n  work y = area * x\n  rows tag | x\n    \"a\" | 2\n";
    assert!(help(list).contains("a column of its own"));
    let cell = help(&list.replace("area * x", "x").replace("\"a\" | 2", "\"a\" | Area"));
    assert!(
        cell.contains("a text in quotes") && !cell.contains("line of its own"),
        "{cell}"
    );
}

/// A machine has an even number of poles: each value of a line that cannot be is told at its own place, one that cases share once.
#[test]
fn each_value_of_a_line_that_cannot_be_is_told() {
    let of = |line: &str| -> Vec<(Option<String>, String)> {
        let all = told(&format!("polepair 1\nsheet s\n  cases a | b\n  {line}\n"));
        let words = |message: String| message.split(';').next().unwrap_or_default().to_owned();
        let tail = |message: &str| message.rfind(" (").map_or("", |at| &message[at..]).to_owned();
        all.into_iter()
            .map(|(item, message, _)| (item, format!("{}{}", words(message.clone()), tail(&message))))
            .collect()
    };
    let told_of = |item: &str, words: &str| (Some(item.to_owned()), words.to_owned());
    assert_eq!(
        of("given p = 3 pole | 5 pole : poles"),
        [told_of("a", "`p` is 3 pole"), told_of("b", "`p` is 5 pole")]
    );
    let shared = of("given p = 3 pole : poles");
    assert_eq!(shared.len(), 1, "{shared:?}");
    assert!(
        shared[0].0.is_none() && shared[0].1.ends_with("(in all cases)"),
        "{shared:?}"
    );
}

/// 85 was meant as 85 %; 1.2 is no 1.2 %, which no motor has either.
#[test]
fn a_share_is_offered_in_per_cent_only_where_that_can_be_meant() {
    let fixes = |value: &str| {
        let engine = Engine::new(read(&format!(
            "polepair 1\nsheet s\n  given x = {value} : power factor\n"
        )));
        let fault = &engine.results().faults[0].fault;
        let fixes = fault.fixes.iter().map(|fix| fix.replacement.to_string());
        fixes.collect::<Vec<_>>()
    };
    assert_eq!(fixes("85"), ["85 %"]);
    assert_eq!(fixes("1.2"), Vec::<String>::new());
}
