//! What the help of commands says that have no file of their own.

pub(super) const NEW_ABOUT: &str = "\
Write a right site to start from: the cables to lay and the settings to dial in on each unit, as \
the profile demands them.

What a plan can choose is written down. What is found only at the plant or on a part (lengths, \
firmware, where neutral and earth are joined) is not invented: where the profile says that it must \
be declared, a blank stands for it, and `coldcheck check` says `incomplete` and names every blank \
until a person has filled it in. Filled in, the site is `ok`.

--positions FILE says where the units hang: the link then runs in the order with the least cable (certain \
up to 12 units, else improved step by step and said so), and each cable has the straight way between its \
units as its length, to be corrected when it is cut.";

pub(super) const TIDY_ABOUT: &str = "\
Write the same site as one canonical site file (TOML): every fact, name, explanation of a word, \
demand, cable, waiver and remark of the sheets. Checking that file gives the same findings, the same \
verdict and the same plan image. What was not understood, and remarks, are kept as comments. \
--profile and --scope go into the file in place of what the sheets say.

Nothing is decided for you: where the sheets disagree, or a name is doubtful, the questions are \
listed and nothing is written.";
