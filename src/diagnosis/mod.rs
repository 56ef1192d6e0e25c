//! Evidence to likely causes, to the check that tells them apart.
//!
//! Pure. A [`Sign`] is something seen, read or worked out at the pump; each piece of [`Evidence`] says that one is
//! present or absent and where that came from. [`Knowledge`] is two files beside this one: `troubles.toml`, what each
//! trouble is called and what to do about it, and `knowledge.csv`, one row per sign and trouble. [`Knowledge::diagnose`]
//! ranks the troubles by what speaks for and against them and names the telling check.
//!
//! ```
//! use lantern_ring::diagnosis::{Build, Evidence, Feature, Knowledge, Sign};
//!
//! let knowledge = Knowledge::built_in()?;
//! let build = Build::new([Feature::Flooded, Feature::Mechanical, Feature::Oil]);
//! let evidence = [
//!     Evidence::present(Sign::DischargeHigh, "discharge gauge 9.1 bar, usual 7.8"),
//!     Evidence::present(Sign::FlowLow, "flow meter"),
//! ];
//! let diagnosis = knowledge.diagnose(&build, &evidence, &|_| true);
//! assert_eq!(diagnosis.fitting[0].trouble.key, "discharge_valve");
//! assert_eq!(diagnosis.telling.sign(), Some(Sign::DischargeValvePart));
//! # Ok::<(), &lantern_ring::diagnosis::KnowledgeError>(())
//! ```
//!
//! # How causes are ranked
//!
//! Each row says in words how strongly a sign speaks for or against a trouble, when present and when absent. A trouble
//! that anything [rules out](Weight::RulesOut), or that the pump's build cannot have, is not ranked. The rest are
//! ordered by points: proves 4, strongly for 3, for 1, against −1, strongly against −3. Of equals, what is seen to be
//! there stands first; what begins only with a start or with work at the pump stands back while neither was told; then what
//! would be missed more were its signs absent, then the order of `troubles.toml` counts.
//! A trouble that nothing speaks for but signs that many machines show without it, as a motor's hum, counts as having
//! one, and is held back: it is never shown first-hand.
//! A cause fits with more points for it than against and a sign of trouble it accounts for; having just been started is
//! none. Points are a way to order, never shown, and no measure of how probable a cause is: nobody has counted that.
//! The sources name which signs go with which trouble; how strongly, and every "against", is our judgement.
//!
//! Troubles of one bearing's oil or grease are weighed at each bearing that can have them by itself, and stand by that
//! which shows them most: grease pushed out of one bearing says nothing of another that is hot. So are those of a gland at
//! each gland.
//!
//! What an earlier visit saw and nobody looked at since counts where nothing later tells of the sign, by less: what
//! would show a trouble or rule one out is then only strongly for or against it.
//!
//! All that fit are kept in that order; what is shown first-hand, and what is folded away as also possible, says
//! [`Diagnosis::shown`].
//!
//! # How the telling check is chosen
//!
//! In question are at most eight causes, less than seven points below the first. What is seen to be there is no question
//! any more, nor is a cause that accounts for no sign beyond those of a trouble seen to be there. Each cause has a stake that doubles with every two
//! points, as signs go together and each tells less than it would alone; each next in rank has a little less. What a
//! cause leads one to expect of a check not yet made is taken from its rows (see [`Weight`]). The telling check is the
//! one with the greatest expected gain of information (Lindley 1956): that about which of the causes it is and that
//! about whether it is the first, added up, taking one trouble at a time. Below a floor of 0.02 bit no check is
//! telling. Where only one cause is in question, the check that would show it to be there is named instead.

mod build;
mod diagnose;
mod evidence;
mod knowledge;
mod sign;
mod telling;
mod weight;

pub use build::{Build, Feature};
pub use diagnose::{Cause, Diagnosis, RANKING, RuledOut, Spoken, Standing};
pub use evidence::{AtPart, Evidence};
pub use knowledge::{Knowledge, KnowledgeError, Row, Trouble};
pub use sign::Sign;
pub use telling::{Answer, TELLING, Telling, TellingCheck};
pub use weight::Weight;
