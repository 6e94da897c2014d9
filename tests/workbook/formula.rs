//! Formulas: what binds tighter, units by shape, mistakes with code, place and help.

use polepair::language::syntax::parse;

use crate::print::{show, tree};

/// The text at the place of the first fault, its code and its words.
fn first_fault(text: &str) -> (String, String, String) {
    let (_, faults) = parse(text);
    let fault = faults.first().unwrap_or_else(|| panic!("no fault in {text}"));
    let words = format!("{} {}", fault.message, fault.help.clone().unwrap_or_default());
    (fault.code.word().to_owned(), fault.span.of(text).to_owned(), words)
}

#[track_caller]
fn refused(text: &str, code: &str, place: &str, words: &str) {
    let (found, at, said) = first_fault(text);
    assert_eq!((found.as_str(), at.as_str()), (code, place), "{text}: {said}");
    assert!(said.contains(words), "{text}: {said}");
}

#[track_caller]
fn reads(text: &str, expected: &str) {
    assert_eq!(tree(text), expected, "{text}");
}

#[test]
fn operators_bind_as_the_table_says() {
    reads("a + b * c", "(+a +(*b *c))");
    reads("a - b - c", "(+a -b -c)");
    reads("a / b / c * d", "(*a /b /c *d)");
    reads("-x^2", "(- (^ x 2))");
    reads("-x²", "(- (^ x 2))");
    reads("2^3^2", "(^ 2 (^ 3 2))");
    reads("2^-3", "(^ 2 (- 3))");
    reads("-a * b", "(*(- a) *b)");
    reads("a * -b", "(*a *(- b))");
    reads("(a + b)²", "(^ (+a +b) 2)");
    reads("x⁻¹²", "(^ x -12)");
    reads("√3 * V", "(*(sqrt: 3) *V)");
    reads("√(a + b)", "(sqrt: (+a +b))");
    reads("a·b × c − d", "(+(*a *b *c) -d)");
    reads("f / 4 pole", "(*f /4[pole])");
    reads("a < b + 1", "(? a < (+b +1))");
    reads("0.95*V_n <= V <= 1.05*V_n", "(? (*0.95 *V_n) <= V <= (*1.05 *V_n))");
    reads("a = b", "(? a = b)");
    reads(
        "a ≠ b and c ≥ d or not e > f",
        "(or (and (? a != b) (? c >= d)) (not (? e > f)))",
    );
    reads("not a and b", "(and (not a) b)");
    reads("a else b + 1 else c", "(else a (else (+b +1) c))");
    reads("a + b in kW", "(in (+a +b) kW)");
    reads("(a in kW) + b", "(+(in a kW) +b)");
}

#[test]
fn a_number_and_its_unit_are_one() {
    reads("15 kW", "15[kW]");
    reads("15kW", "15[kW]");
    reads("1465 r/min", "1465[r/min]");
    reads("1465 rpm", "1465[r/min]");
    reads("1.1 N·m", "1.1[N·m]");
    reads("12 lb-ft", "12[lbf·ft]");
    reads("6 1/h", "6[1/h]");
    reads("300 (r/min)/s", "300[(r/min)/s]");
    reads("(460 V)²", "(^ 460[V] 2)");
    reads("5 m²", "5[m²]");
    reads("71 %", "71[%]");
    reads("15 kW / eta", "(*15[kW] /eta)");
    reads("15 kW/4", "(*15[kW] /4)");
    reads("15 kW/(eta * 2)", "(*15[kW] /(*eta *2))");
    reads("60 Hz / (4 pole) in r/min", "(in (*60[Hz] /4[pole]) r/min)");
    reads("2 pole pair", "2[pp]");
    reads("-5 °C", "(- 5[°C])");
    reads("T * N + V * A", "(+(*T *N) +(*V *A))");
    reads("5 kW when a, otherwise 6 kW", "(choice 5[kW] when a otherwise 6[kW])");
    reads("a > 5 and b", "(and (? a > 5) b)");
    reads("1.2e-3", "0.0012");
    reads("2e3", "2000");
    reads("1.10 kW", "1.10[kW]");
}

#[test]
fn inch_and_conversion_are_told_apart() {
    reads("2 in", "2[inch]");
    reads("2 in * 3", "(*2[inch] *3)");
    reads("n_s / 2 in r/min", "(in (*n_s /2) r/min)");
    reads("2 in in mm", "(in 2[inch] mm)");
    reads("2 in/s", "2[in/s]");
    reads("d in in", "(in d inch)");
    reads("2 inch", "2[inch]");
    reads("(2 in else 3 in)", "(else 2[inch] 3[inch])");
}

#[test]
fn names_have_one_form() {
    reads("P_sh + n₁ + n_1", "(+P_sh +n_1 +n_1)");
    reads("η * cosφ", "(*η *cosφ)");
    reads("I′", "I′");
    // The ohm sign and the letter omega, a minus sign of its own, a blank that does not break.
    reads("5\u{A0}\u{2126} − \u{2126}_1", "(+5[Ω] -Ω_1)");
    reads("20 ºC", "20[°C]");
    reads("inner + order + android", "(+inner +order +android)");
}

#[test]
fn far_names_calls_and_gathering() {
    reads("brine.P_sh", "brine.P_sh");
    reads("brine(\"winter\").P_sh", "brine(\"winter\").P_sh");
    reads("motors(row 12).P_r", "motors(row 12).P_r");
    reads("torque(P, 2 * n)", "(torque: P (*2 *n))");
    reads("f()", "(f: )");
    reads(
        "sum(P_in for motors where load > 100 %)",
        "(sum P_in for motors where (? load > 100[%]))",
    );
    reads(
        "count(motors where load > 1)",
        "(count rows for motors where (? load > 1))",
    );
    reads("count(motors)", "(count rows for motors)");
    reads("largest(x for motors)", "(largest x for motors)");
    reads("largest(x, y)", "(largest: x y)");
    reads("only(I for T where P = here.P)", "(only I for T where (? P = here.P))");
    reads(
        "integral(T_L(n) for n from 0 r/min to n_s)",
        "(integral (T_L: n) for n 0[r/min] n_s)",
    );
    reads(
        "largest(a when p, b when q, otherwise c, d)",
        "(largest: (choice a when p b when q otherwise c) d)",
    );
    reads("a when p, b when q", "(choice a when p b when q)");
    reads("(a when p, otherwise b) * 2", "(*(choice a when p otherwise b) *2)");
    reads("\"a \\\"b\\\" \\\\ \\n\"", "\"a \\\"b\\\" \\\\ \\n\"");
    reads("a + # the first\n  b", "(+a +b)");
}

#[test]
fn mistakes_are_named_with_what_to_write() {
    refused("15 kW/eta", "glued-to-unit", "eta", "15 kW / eta");
    refused("15 kv", "unknown-unit", "kv", "kv");
    refused("3/4 in", "fraction", "3/4 in", "0.75 in");
    refused("7-1/2 hp", "fraction", "7-1/2 hp", "7.5 hp");
    refused("7 1/2 hp", "fraction", "7 1/2 hp", "7.5 hp");
    refused("1,5 kW", "number-form", "1,5", "1.5");
    refused("f(1,5)", "number-form", "1,5", "1, 5");
    refused("1,500", "number-form", "1,500", "1500");
    refused("5.", "number-form", "5.", "5.0");
    refused(".5", "number-form", ".5", "0.5");
    refused("1_000", "number-form", "1_000", "1000");
    refused("1 000 kW", "number-form", "1 000", "1000");
    refused("1.2.3", "number-form", "1.2.3", "point");
    refused("1e99", "number-size", "1e99", "28");
    refused("a == b", "operator-form", "==", "write `=`");
    refused("a ** b", "operator-form", "**", "write `^`");
    refused("a <> b", "operator-form", "<>", "≠");
    refused("a & b", "operator-form", "&", "and");
    refused("f(a; b)", "operator-form", ";", "`,`");
    refused("\"star", "unclosed-text", "\"star", "not closed");
    refused("“star", "unclosed-text", "“star", "straight");
    refused("\"C:\\motors\"", "text-escape", "\\m", "\\\\");
    refused("2 * (a + b", "unclosed-bracket", "(", "closed");
    refused("(1, 2) + 3", "misplaced-comma", ",", "arguments");
    refused("sum(P_in)", "gathers-rows", "sum", "for LIST");
    refused("2 *", "expected", "", "breaks off");
    refused("", "expected", "", "breaks off");
    refused("a * / b", "expected", "/", "a value");
    refused("a b", "expected", "b", "silently");
    refused("2 (a + b)", "expected", "(", "silently");
    refused("a + b)", "expected", ")", "no bracket is open");
    refused("= a", "expected", "=", "does not begin");
    refused("if a > b then c", "expected", "if a > b then c", "when");
    refused("a ± 2", "tolerance-place", "± 2", "line of its own");
    refused("f(5) +/- 2", "tolerance-place", "+/- 2", "line of its own");
    refused("± 2", "tolerance-place", "±", "cannot stand here");
    refused("5 Ω + 3j", "expected", "j", "factor like any other");
    refused("5 Ω + j0.5 Ω", "expected", "5", "factor like any other");
    refused("∠ 30 deg", "expected", "∠", "magnitude");
    refused("a + or b", "expected", "or", "word of the language");
    refused("x in", "expected", "", "a unit");
    refused("motors(row 0).P", "expected", "0", "from 1");
    refused("otherwise 5", "expected", "otherwise 5", "when");
}

#[test]
fn several_faults_are_reported_at_once() {
    let text = "f(a b) + g(c d) + 15 kW/eta + 1,5";
    let (tree, faults) = parse(text);
    let places: Vec<&str> = faults.iter().map(|fault| fault.span.of(text)).collect();
    assert_eq!(places, ["b", "d", "eta", "1,5"]);
    assert_eq!(show(&tree), "(+(f: BAD) +(g: BAD) +BAD +BAD)");
}

#[test]
fn places_are_bytes_of_the_text() {
    let text = "η·(a + b²) in kW";
    let (tree, _) = parse(text);
    assert_eq!(tree.span.of(text), text);
}
