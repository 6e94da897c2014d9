//! Fault codes of equipment lists from outside: why a file is not read, and the doubts about what stands in it.

codes! {
    NO_MOTOR_TABLE = "no-motor-table", Error,
        "No table of motors was found in the file. A table needs a heading row that names a rating, a speed or a current, with rows under it.",
        "a list of invoices", "a list with a rating, a speed or a current for each motor";
    LIST_MISSING = "list-missing", Error,
        "There is no file of this name.",
        "import lsit.xlsx", "import list.xlsx";
    LIST_NOT_READABLE = "list-not-readable", Error,
        "The file cannot be opened, or its inside is damaged.",
        "a workbook cut off half way", "the same, saved again by the program that made it";
    LIST_TOO_LARGE = "list-too-large", Error,
        "The file, or what stands in it, is larger than any equipment list. Limits keep a damaged file from filling the memory.",
        "a file of 900 MB", "the sheet with the list, saved alone";
    NOT_A_LIST = "not-a-list", Error,
        "The first bytes of the file are not those of xlsx, xls, xlsb, ods or csv, whatever its name says.",
        "a picture renamed to list.xlsx", "the list itself";
    LIST_ENCRYPTED = "list-encrypted", Error,
        "The file is locked with a password.",
        "a workbook that asks for a password", "the same saved without one";
    LIST_HOSTILE = "list-hostile", Error,
        "The file unpacks to far more than a list holds, or its inside is built to mislead a reader.",
        "2 MB that unpack to 2 GB", "a list from a source you trust, saved again";
    READER_STOPPED = "reader-stopped", Error,
        "Reading took too long or too much memory and was stopped.",
        "a sheet of a thousand million cells", "the sheet with the list, saved alone as xlsx";
    NO_READER = "no-reader", Error,
        "The program reads this sort of file in a process of its own, and that process could not be started.",
        "the program file was moved while running", "start the program again, or save the list as xlsx or csv";

    COLUMN_MAP_FAULTY = "column-map-faulty", Error,
        "A line of a column map or of a file of words is not understood, so the list was not read with it.",
        "column P = rated_power", "column \"P\" = rated_power in kW";

    PLATE_SPEED_SYNCHRONOUS = "plate-speed-synchronous", Error,
        "The plate speed is the synchronous speed or above it. A motor under load runs slower: the nominal speed was probably typed. Load by slip cannot be worked. Look at the plate.",
        "1500 r/min on a 4-pole motor at 50 Hz", "1465 r/min";
    POLES_AGAINST_SPEED = "poles-against-speed", Error,
        "The plate speed is well above the synchronous speed of these poles at this frequency: poles, frequency or speed are those of another motor. Load by slip cannot be worked. Look at the plate.",
        "3550 r/min on a 4-pole motor at 50 Hz", "3550 r/min, 2 poles, 60 Hz";
    PLATE_SLIP_UNUSUAL = "plate-slip-unusual", Warning,
        "The plate speed gives more slip than motors of this kind have: speed, poles or frequency may be wrong. Common practice, no source.",
        "1755 r/min with 2 poles at 60 Hz", "1755 r/min with 4 poles";
    TAG_TWICE = "tag-twice", Warning,
        "The same tag stands in more than one row. One of them may be a typing slip, or a motor is counted twice.",
        "P-101 in rows 7 and 31", "P-101 and P-102";
    COUNTED_TWICE = "counted-twice", Warning,
        "The quantity of a row covers motors that are listed in rows of their own, so sums count them twice.",
        "quantity 3 on P-101 while P-102 and P-103 have rows", "quantity 1 in each row";
    MIXED_POWER_UNITS = "mixed-power-units", Note,
        "Ratings in hp and in kW stand in one column. Each was read in its own unit.",
        "7.5 HP under a heading kW", "5.5 kW";
    OTHER_POWER_UNIT = "other-power-unit", Warning,
        "Voltage, current, efficiency and power factor of most rows agree with the rating only if it is in the other unit (kW for hp or hp for kW), or the ratings are those of the other series. Where the plates prove it the ratings are read in the other unit.",
        "a column headed kW with 10, 15, 20, 25", "the same headed hp";
    EFFICIENCY_SCALE = "efficiency-scale", Note,
        "An efficiency is written as a fraction among per cent, or the other way round. It was read on the scale of its column.",
        "0.924 among 92.4", "92.4";
    POWER_FACTOR_SCALE = "power-factor-scale", Note,
        "A power factor is written in per cent among fractions, or the other way round. It was read as a number up to 1.",
        "82 among 0.82", "0.82";
    EFFICIENCY_IMPOSSIBLE = "efficiency-impossible", Error,
        "An efficiency above 100 % or a power factor above 1 cannot be.",
        "efficiency 946", "efficiency 94.6";
    POWER_ABOVE_APPARENT = "power-above-apparent", Error,
        "The measured power is above √3·V·I of the measured volts and amps, so one of the three readings is wrong: a slipped decimal point, a line-to-neutral voltage, one clamp of several conductors. Measuring is for qualified people.",
        "71.9 kW with 395 V and 12.1 A", "7.19 kW";
    PLATE_POWER_RATIO = "plate-power-ratio", Warning,
        "√3·V·I·η·pf of the plate does not give the rating. Near 1.73 or 0.58: amps of the other connection. Near 2 or 0.5: amps of the other winding voltage. Near 1.15: amps at service-factor load. Near 0.75 or 1.34: hp taken for kW.",
        "60.7 A beside 230/460 V and 7.5 hp", "18.4/9.2 A";
    TOTAL_DISAGREES = "total-disagrees", Warning,
        "A printed total is not the sum of its rows, neither once each nor times the quantity.",
        "total 613.2 over rows that sum to 516.7", "516.7";
    HOURS_ABOVE_YEAR = "hours-above-year", Error,
        "A year has 8760 hours, a leap year 8784.",
        "9200 h", "9200 h over two years: 4600 h";
    ROW_STRUCK_THROUGH = "row-struck-through", Note,
        "The row is struck through in the source: the motor may be gone. It was read and is marked.",
        "P-105 struck through", "the row taken out, or the line taken off";
    ROW_HIDDEN = "row-hidden", Note,
        "The row is hidden in the source. It was read and is marked.",
        "row 12 hidden", "row 12 shown";
    COLUMN_HIDDEN = "column-hidden", Note,
        "A column is hidden in the source. It is not used where a visible one holds the same quantity.",
        "a hidden column of old ratings", "the column taken out";
    DRIVE_FED = "drive-fed", Note,
        "The motor is fed by a drive. Without the output frequency load by slip and by current cannot be trusted and are refused; with it, load by slip is worked at that frequency.",
        "remark VFD", "remark VFD, 38.5 Hz at the time of the reading";
    CURRENT_ABOVE_PLATE = "current-above-plate", Warning,
        "The measured current is more than 1.25 times the plate current: overload, or more than one conductor in the clamp. Measuring is for qualified people.",
        "112 A beside 85.7 A on the plate", "56 A";
    VOLTAGE_OFF_PLATE = "voltage-off-plate", Warning,
        "The measured voltage is more than 10 % off the plate voltage: perhaps a reading between line and neutral.",
        "232 V beside 400 V on the plate", "401 V";
    SPEED_ABOVE_SYNCHRONOUS = "speed-above-synchronous", Warning,
        "The measured speed is at or above the synchronous speed, which no loaded motor on the line reaches.",
        "1503 r/min on a 4-pole motor at 50 Hz", "1493 r/min";
    NUMBER_AMBIGUOUS = "number-ambiguous", Note,
        "The number can be read in two ways: its sign may part thousands or decimals, or it may be a share among per cents. It was read as the rest of the column suggests; the other reading is told.",
        "1.480 in a column of speeds", "1480";
    VALUE_UNLIKELY = "value-unlikely", Note,
        "The value is far outside what this quantity usually is.",
        "efficiency 9.4 %", "94 %";
    FORMULA_WITHOUT_VALUE = "formula-without-value", Note,
        "A cell holds a formula without a stored result, or one that gave an error, so there is nothing to read.",
        "a list written by a program that does not work formulas", "the list opened and saved once by a program that does";
    TEXT_NOT_READ = "text-not-read", Note,
        "The cell holds words where a number is expected. The words are kept; there is no value. Where the whole column is of something else, a line of a column map says so: polepair import LIST --write-map FILE, change its line, then polepair import LIST --map FILE.",
        "as per vendor, in the column of currents", "18.4 A";
    DATE_FOR_NUMBER = "date-for-number", Warning,
        "The cell is a date where a number is expected: a fraction such as 1-1/2 or 3/4 often turns into one while typing.",
        "3 April under a heading hp", "3/4";
    FREQUENCY_GUESSED = "frequency-guessed", Warning,
        "The list does not say the frequency. It was taken from the plate speeds.",
        "a list with 1765 r/min and no word of Hz", "the same with 60 Hz in the title";
    PAIR_UNMATCHED = "pair-unmatched", Note,
        "Voltage and current are not written in pairs of the same length, so the current that belongs to the supply is not certain.",
        "400 V beside 10.5/6.1 A", "400/690 V beside 10.5/6.1 A";
    SEVERAL_VALUES = "several-values", Note,
        "A plate gives two ratings or two speeds, as two-speed motors do, and nothing says which one runs. Neither is used. Write the one that runs into the cell, or a row for each, and import the list again.",
        "2900/1450 in a column of speeds", "a row for each speed";
    PHASES_UNEQUAL = "phases-unequal", Warning,
        "The three phases of a reading are far apart. Where one is under half of another the motor may run on two phases, or a clamp was not closed: their mean says nothing of the load. Measuring is for qualified people. Common practice, no source.",
        "2, 11 and 12 A", "11.4, 11 and 12 A";
    OTHER_MACHINE = "other-machine", Error,
        "The list says that this is no three-phase induction motor (direct current, synchronous, permanent magnets, slip rings, one phase). Slip and current do not tell its load.",
        "DC motor in a column of types", "three-phase cage motor";
    MOTOR_GONE = "motor-gone", Warning,
        "The words of the row say that the motor is gone. It was read and marked; sums tell it apart, and a printed total may be one without it.",
        "remark DELETED", "the row taken out";
    OUT_OF_SERVICE = "out-of-service", Note,
        "The words of the row say that the motor is out of service. It was read and marked; sums tell it apart, and a printed total may be one without it. Whether a machine may be approached is not said by a list.",
        "remark hors service", "the remark taken out once it runs again";
    COUNTED_BY_TAG = "counted-by-tag", Note,
        "The tag names several motors and the list gives no quantity: the motors of the tag were counted. Where it is one motor with such a tag, a quantity of 1 settles it.",
        "tag P-101A/B without a quantity", "tag P-101A/B, quantity 2";
    TWO_FREQUENCIES = "two-frequencies", Warning,
        "A plate gives its values at 50 and at 60 Hz. Those of the supply were used; both stand in the report. Where the list does not say the supply, neither is used.",
        "5.5/6.3 kW, 1450/1750 r/min in a list that says 60 Hz", "6.3 kW, 1750 r/min, 60 Hz";
    COLUMN_DOUBTFUL = "column-doubtful", Note,
        "What a column holds was settled by a weak word or by its values only. A line of a column map settles it for this list and the next of the same origin: polepair import LIST --write-map FILE, change its line, then polepair import LIST --map FILE.",
        "a heading P", "a heading Rated power (kW)";
    CURRENT_OFF_TABLE = "current-off-table", Warning,
        "The plate current is far from the full-load current that the published table gives for the rating and voltage.",
        "62 A for 15 hp at 460 V", "19 A";
    EFFICIENCY_OFF_CLASS = "efficiency-off-class", Warning,
        "The efficiency is below the limit of the class on the plate, tolerance included, or so far above it that the class would be another.",
        "84 % and IE3 on 15 kW, 4 poles, 50 Hz", "92.1 %";
    RATING_NOT_IN_SERIES = "rating-not-in-series", Note,
        "The rating is in none of the standard series of kW and hp, and is not the kW equivalent of an hp rating.",
        "17 kW", "18.5 kW";
    CODE_LETTER_OFF = "code-letter-off", Warning,
        "The locked-rotor kVA per hp worked from locked-rotor current, voltage and rating is outside the range of the code letter.",
        "code letter B with 183 A for 30 hp at 460 V", "code letter F";
    FRAME_OFF_RATING = "frame-off-rating", Warning,
        "The frame is two sizes or more from the one that the rating and the poles usually have.",
        "frame 90L for 30 kW, 4 poles", "200L";
    VOLTAGE_OFF_FREQUENCY = "voltage-off-frequency", Warning,
        "The plate voltage is one of systems of the other frequency: the values of the plate may hold for that one.",
        "460 V at 50 Hz", "460 V at 60 Hz";
    POWER_ABOVE_PLATE = "power-above-plate", Warning,
        "The measured input power is more than 1.3 times the input at the rating. Measuring is for qualified people.",
        "24 kW measured on a motor of 15 kW", "14 kW";
    SLIP_ABOVE_PLATE = "slip-above-plate", Warning,
        "The measured slip is more than 1.6 times the rated slip: overload, low voltage, or a plate speed that is rounded up. Measuring near rotating shafts is for qualified people.",
        "1430 r/min beside 1475 r/min on the plate, 4 poles, 50 Hz", "1478 r/min";
    READINGS_AS_PLATE = "readings-as-plate", Warning,
        "Measured current or speed is that of the plate to the last digit, and a second reading with it: forms are often filled from the plate where nothing was measured. A load of 100 % says nothing then.",
        "14.5 A and 1460 r/min measured, 14.5 A and 1460 r/min on the plate", "11.2 A and 1472 r/min";
    LOADS_DISAGREE = "loads-disagree", Warning,
        "Methods that can each be trusted give loads more than 15 points apart (a warning above 30): a reading or a plate value is wrong.",
        "62 % by measured power, 104 % by current", "62 % and 65 %";
    NOT_A_MOTOR = "not-a-motor", Warning,
        "The row takes power and is no motor by its words: a heater, lighting, a socket. It was set aside as a note, with its text.",
        "Tank heater, 6 kW", "Tank heater pump, 6 kW, 1450 r/min";
    PLATE_NOT_ALL_READ = "plate-not-all-read", Note,
        "Words or numbers of a nameplate in one cell were not understood. The text is kept; nothing of them is used.",
        "15 kW 400 V 1465 rpm brake 40", "the brake in a column of its own";
    PLATE_DIFFERS = "plate-differs", Warning,
        "The nameplate in one cell and a column of its own give different values. The column holds.",
        "15 kW in the plate text, 11 in the column kW", "15 and 15";
    RATINGS_DISAGREE = "ratings-disagree", Warning,
        "A rating is given in two units that are not the same power: one of the numbers is wrong, or the units are swapped. Look at the plate.",
        "15 kW / 11 hp", "11 kW / 15 hp";
    VALUE_NEGATIVE = "value-negative", Error,
        "The value is negative where none can be. It was not used.",
        "-9 A in a column of currents", "9 A";
    RATING_ABOVE_APPARENT = "rating-above-apparent", Error,
        "The rating is above √3·V·I of the plate's own volts and amps, which cannot be: W read as kW, a sign that parts decimals and not thousands, amps of another voltage. Look at the plate.",
        "1500 kW with 400 V and 3.4 A", "1.5 kW";
    VALUE_OF_NO_MOTOR = "value-of-no-motor", Warning,
        "No motor on the line has this speed or voltage: a point that parts thousands was read as one that parts decimals, kV stand under V, or the speed is that of a shaft behind a gear. It was not used. Look at the plate.",
        "1.46 in a column of speeds", "1460";
    SUPPLY_NOT_SAID = "supply-not-said", Note,
        "The plate gives several voltages, neither the list nor a reading says which of them the supply has, and none was used. Say the supply in the title of the list, or type the voltage that holds.",
        "400/690 in a list that does not say its supply", "400/690 under a title that says 400 V";
    PHASE_MISSING = "phase-missing", Warning,
        "The current of one phase alone was read. Where the phases are not equal the mean is another. Measuring is for qualified people. Common practice, no source.",
        "48 A on L1, nothing on L2 and L3", "48, 47 and 48 A";
    FREQUENCY_IN_WORDS = "frequency-in-words", Warning,
        "The words of a row say another frequency than that of the list. It was taken where the plate speed goes with it alone; else the frequency of the list stayed.",
        "the remark 60 Hz in a list of 50 Hz", "a column of frequencies";
    VALUE_ZERO = "value-zero", Note,
        "The value is zero where a motor has some: forms and data bases write 0 for what is not known or was not measured. It was taken as no value.",
        "0 V measured beside 11 kW", "an empty cell, or 398 V";
    POLES_NOT_IN_PAIRS = "poles-not-in-pairs", Error,
        "Poles come in pairs: 2, 4, 6 and so on. The count was not used; a list that counts pole pairs says so in its heading or in a column map.",
        "3 poles", "3 pole pairs, which are 6 poles";
    FIELDS_PAST_HEADINGS = "fields-past-headings", Warning,
        "A row of a text file has values past the last heading. The sign between the fields may stand inside a number, so that one number became two and all values behind it stand under the wrong heading.",
        "P-1,7,5,400,14,5,1465 under Tag,kW,V,A,rpm", "P-1;7,5;400;14,5;1465 under Tag;kW;V;A;rpm";
    PLATE_WORD_UNKNOWN = "plate-word-unknown", Warning,
        "A letter or class of the plate is none of those that there are: it may be misread or mistyped. Look at the plate.",
        "code letter I", "code letter J";
}
