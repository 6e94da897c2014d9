//! Letters and classes of plates that come from a list: code letter, design, insulation, efficiency class, duty, protection.
//!
//! For: a letter that none of them has (`I` as code letter, `IE7`, insulation `Q`): misread or mistyped.
//! Always: words besides them (`Premium`, `TEFC`) say nothing against it; nothing is changed.
//! Not known here: whether a letter fits the other values (`plausible`).

use super::motor::{Doubt, Motor};
use super::reads::Reads;
use super::words;
use crate::fault::Code;
use crate::standards::tables;

/// What a plate can say of one of these, and the list as a doubt tells it.
struct Listed {
    reads: Reads,
    /// Whether the word is of this sort at all, and then whether it is in the list; `None`: it says nothing of it.
    holds: fn(&str) -> Option<bool>,
    /// The known ones, with where they come from.
    known: &'static str,
}

static LISTED: [Listed; 6] = [
    Listed {
        reads: Reads::CodeLetter,
        holds: |word| lone(word).map(is_code_letter),
        known: "code letters are A to V without I, O and Q (NEMA MG 1 10.37.2)",
    },
    Listed {
        reads: Reads::Design,
        holds: |word| lone(word).map(|letter| matches!(letter, 'a'..='e' | 'n' | 'h')),
        known: "designs are A, B, C, D (NEMA MG 1) and N, H with Y and E behind them (IEC 60034-12)",
    },
    Listed {
        reads: Reads::Insulation,
        holds: |word| lone(word).map(|letter| matches!(letter, 'y' | 'a' | 'e' | 'b' | 'f' | 'h' | 'n' | 'r' | 'c')),
        known: "thermal classes are Y, A, E, B, F, H, N and R (IEC 60085)",
    },
    Listed {
        reads: Reads::EfficiencyClass,
        holds: |word| numbered(word, "ie").map(|number| (1..=5).contains(&number)),
        known: "classes are IE1 to IE4 (IEC 60034-30-1), and IE5 is spoken of",
    },
    Listed {
        reads: Reads::Duty,
        holds: |word| numbered(word, "s").map(|number| (1..=10).contains(&number)),
        known: "duty types are S1 to S10 (IEC 60034-1)",
    },
    Listed {
        reads: Reads::Enclosure,
        holds: |word| {
            let digits = word.strip_prefix("ip").filter(|rest| rest.len() == 2)?;
            let mut digits = digits.chars().map(|sign| sign.to_digit(10));
            let (first, second) = (digits.next()??, digits.next()??);
            Some(first <= 6 && second <= 9)
        },
        known: "degrees of protection are IP00 to IP69 (IEC 60529)",
    },
];

/// Whether the table of code letters has it: those that look like digits are left out.
fn is_code_letter(letter: char) -> bool {
    let Some(table) = tables::find("nema_mg1_10_37_2") else {
        return true;
    };
    let mut of = [0; 4];
    let letter = letter.to_ascii_uppercase().encode_utf8(&mut of);
    (0..table.rows()).any(|row| table.text("letter", row) == Some(letter))
}

/// The letter of a word of one letter.
fn lone(word: &str) -> Option<char> {
    let mut signs = word.chars();
    let letter = signs.next()?;
    (signs.next().is_none() && letter.is_ascii_alphabetic()).then_some(letter)
}

/// The number right behind these letters.
fn numbered(word: &str, letters: &str) -> Option<u32> {
    word.strip_prefix(letters)?.parse().ok()
}

/// Doubts of one plate.
pub(super) fn raise(motor: &Motor, doubts: &mut Vec<Doubt>) {
    for listed in &LISTED {
        let Some(said) = motor.words(listed.reads).filter(|said| said.len() <= 40) else {
            continue;
        };
        let mut words = words::words(said);
        // `IE 3`, `IP 55`: the number goes with the letters before it.
        while let Some(place) = words.windows(2).position(
            |pair| matches!(pair, [a, b] if matches!(a.as_str(), "ie" | "ip" | "s") && b.parse::<u32>().is_ok()),
        ) {
            let number = words.remove(place + 1);
            if let Some(word) = words.get_mut(place) {
                word.push_str(&number);
            }
        }
        let unknown = words.iter().find(|word| (listed.holds)(word) == Some(false));
        if let Some(word) = unknown {
            doubts.push(Doubt::new(
                Some(motor.source_row),
                Code::PLATE_WORD_UNKNOWN,
                format!(
                    "{}: {} is none that there is; {}.",
                    motor
                        .cell(listed.reads)
                        .map(|cell| cell.column.as_ref())
                        .filter(|column| !column.is_empty())
                        .unwrap_or(listed.reads.title()),
                    word.to_uppercase(),
                    listed.known
                ),
            ));
        }
    }
}
