//! What the retake lists say of one animal: what it lacks or that it is to be let go, how long it has been held, and
//! its jar.

use grouping::Held;
use record::{Plan, ViewKey};

use super::sheet::minute;
use super::words::tell;

/// What is said of a view that is missing without a name.
const UNKNOWN: &str = ", which is not known yet";

/// An animal in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Told {
    /// What it lacks. Past the person's limit nothing is said of that: `Release`.
    pub(crate) head: String,
    /// The same, also that what it lacks is not known yet.
    pub(crate) lacks: String,
    /// How long it has been held, and what that is counted from; else since when.
    pub(crate) time: String,
    /// What is wrong with the views that are there, but not well enough; one line each.
    pub(crate) why: Vec<String>,
    /// Its jar, and that what it lacks is not known yet.
    pub(crate) rest: String,
    /// What the line is called for those who hear the window.
    pub(crate) name: String,
}

/// Tells of an animal; `jar` is its jar in words.
pub(crate) fn told(held: &Held, plan: &Plan, jar: &str) -> Told {
    let retake = &held.retake;
    let past = held.is_past();
    let (lacks, short) = if past {
        (tell!("retake-release"), tell!("retake-release"))
    } else {
        (retake.words(plan), retake.short_words(plan))
    };
    // What is missing stands out; that it is not known yet is said quietly.
    let known = short.replacen(UNKNOWN, "", 1);
    let unknown = (known != short).then(|| UNKNOWN.trim_start_matches(", ").to_owned());
    let since = retake.since.as_ref().map(|s| tell!("retake-since", time = minute(s))).unwrap_or_default();
    let time = held.holding.map_or(since, |h| h.words().trim_end_matches(": release").to_owned());
    let jar = (!jar.is_empty()).then(|| jar.to_owned());
    let why = |(view, why): &(ViewKey, String)| {
        let only = retake.again.len() == 1;
        if only { why.clone() } else { tell!("retake-again", view = plan.name_of(view), why = why) }
    };
    Told {
        head: known,
        why: retake.again.iter().filter(|_| !past).map(why).collect(),
        rest: [jar, unknown].into_iter().flatten().collect::<Vec<_>>().join(", "),
        name: tell!("retake-name", number = retake.number, lacks = &lacks),
        lacks,
        time,
    }
}

#[cfg(test)]
mod tests {
    use grouping::Retake;
    use record::Holding;

    use super::*;

    fn held(held_min: f64, limit_min: Option<u16>) -> Held {
        let retake = Retake {
            set: 2,
            number: 3,
            jar: "23".into(),
            since: Some("2026-06-14T09:12:30".parse().unwrap()),
            short: 1,
            missing: Vec::new(),
            again: Vec::new(),
        };
        let holding = (held_min > 0.0).then_some(Holding { held_secs: held_min * 60.0, limit_min });
        Held { retake, holding }
    }

    fn of(held_min: f64, limit_min: Option<u16>) -> [String; 4] {
        let plan = crate::plans::usual();
        let Told { head, time, rest, name, .. } = told(&held(held_min, limit_min), &plan, "jar 23");
        [head, time, rest, name]
    }

    #[test]
    fn past_the_limit_only_release_is_said() {
        let unknown = "Retake 3: One view short, which is not known yet";
        let rest = "jar 23, which is not known yet";
        assert_eq!(of(0.0, None), ["One view short", "since 09:12", rest, unknown]);
        assert_eq!(of(7.0, None), ["One view short", "7 min since first frame", rest, unknown]);
        let left = "7 min since first frame, 8 min left of your 15";
        assert_eq!(of(7.0, Some(15)), ["One view short", left, rest, unknown]);
        let past = "21 min since first frame, past your 15";
        assert_eq!(of(21.0, Some(15)), ["Release", past, "jar 23", "Retake 3: Release"]);
    }

    #[test]
    fn what_is_there_but_not_well_enough_is_asked_for_again_with_the_reason() {
        let plan = crate::plans::usual();
        let mut held = held(7.0, Some(15));
        held.retake.again = vec![("face".into(), "soft: 30 % as sharp as is usual for Face today".into())];
        let one = told(&held, &plan, "jar 23");
        assert_eq!(one.head, "Face again, soft");
        assert_eq!(one.name, format!("Retake 3: {}", one.lacks));
        assert_eq!(one.why, ["soft: 30 % as sharp as is usual for Face today"]);
        assert_eq!(one.rest, "jar 23");
        held.retake.short = 3;
        held.retake.again.push(("above".into(), "cut off by the edge of the frame".into()));
        let more = told(&held, &plan, "jar 23");
        assert_eq!(more.head, "One view short; Face again, soft; From above again, cut");
        assert_eq!(more.rest, "jar 23, which is not known yet");
        assert_eq!(more.why[1], "From above cut off by the edge of the frame");
        held.holding = Some(Holding { held_secs: 1260.0, limit_min: Some(15) });
        let past = told(&held, &plan, "jar 23");
        assert_eq!((past.head.as_str(), past.why.len()), ("Release", 0));
    }
}
