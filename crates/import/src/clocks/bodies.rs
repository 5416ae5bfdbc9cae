//! Which body took which frame, as far as clocks are concerned.
//!
//! Bodies are told apart by make, model and serial. Raw files of some writers lack the serial that the JPEG of the same
//! body has, and a damaged file lacks all three: such a frame goes with the only body that it can be of. What stands on
//! the frames is not changed.

use std::collections::{BTreeMap, BTreeSet};

use record::{Body, Frame};

/// The bodies of a day.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Bodies {
    /// In their own order; frames without any name may be one of them.
    pub(crate) list: Vec<Body>,
    /// For each frame its place in the list.
    pub(crate) of: Vec<usize>,
}

impl Bodies {
    pub(crate) fn of(frames: &[Frame]) -> Self {
        let mut serials: BTreeMap<(&str, &str), BTreeSet<&Body>> = BTreeMap::new();
        for body in frames.iter().map(|f| &f.body).filter(|b| !b.serial.is_empty()) {
            serials.entry((&body.make, &body.model)).or_default().insert(body);
        }
        let whole = |body: &Body| -> Body {
            let known = serials.get(&(body.make.as_str(), body.model.as_str()));
            let known = known.filter(|_| body.serial.is_empty()).and_then(only);
            known.copied().unwrap_or(body).clone()
        };
        let mut at_home: BTreeMap<(&str, &str), BTreeSet<Body>> = BTreeMap::new();
        for frame in frames.iter().filter(|f| f.body != Body::default()) {
            at_home.entry(home(frame)).or_default().insert(whole(&frame.body));
        }
        let bodies: Vec<Body> = frames
            .iter()
            .map(|frame| {
                let nameless = frame.body == Body::default();
                let of_home = at_home.get(&home(frame)).filter(|_| nameless).and_then(only);
                of_home.cloned().unwrap_or_else(|| whole(&frame.body))
            })
            .collect();
        let list: Vec<Body> = bodies.iter().collect::<BTreeSet<_>>().into_iter().cloned().collect();
        let of = bodies.iter().map(|b| list.partition_point(|other| other < b)).collect();
        Self { list, of }
    }
}

fn only<T: Ord>(set: &BTreeSet<T>) -> Option<&T> {
    set.first().filter(|_| set.len() == 1)
}

/// Folder and first four characters of the name: a body's own by the DCF rule.
fn home(frame: &Frame) -> (&str, &str) {
    let (folder, name) = frame.path().rsplit_once('/').unwrap_or(("", frame.path()));
    (folder, name.get(..4).unwrap_or(name))
}

#[cfg(test)]
mod tests {
    use record::TimeSource;

    use super::*;
    use crate::sample::frame;

    fn bodies(frames: &[(&str, &str, &str)]) -> Vec<String> {
        let frames: Vec<Frame> = frames
            .iter()
            .map(|(path, model, serial)| {
                let mut frame = frame(0, path, None, TimeSource::Absent);
                (frame.body.model, frame.body.serial) = ((*model).to_owned(), (*serial).to_owned());
                frame
            })
            .collect();
        let bodies = Bodies::of(&frames);
        bodies.of.iter().map(|at| format!("{} {}", bodies.list[*at].model, bodies.list[*at].serial)).collect()
    }

    #[test]
    fn a_frame_that_lacks_a_name_goes_with_the_only_body_it_can_be_of() {
        assert_eq!(
            bodies(&[("D/DSC_0001.JPG", "E", "1"), ("D/DSC_0002.NEF", "E", ""), ("D/DSC_0003.JPG", "", "")]),
            ["E 1", "E 1", "E 1"]
        );
        assert_eq!(
            bodies(&[
                ("D/DSC_0001.JPG", "E", "1"),
                ("D/DSC_0002.JPG", "E", "2"),
                ("D/DSC_0003.JPG", "E", "")
            ]),
            ["E 1", "E 2", "E "],
            "of two bodies of one model it could be either"
        );
        assert_eq!(
            bodies(&[("D/DSC_0001.JPG", "E", "1"), ("D/IMG_0002.JPG", "F", "2"), ("D/IMG_0003.JPG", "", "")]),
            ["E 1", "F 2", "F 2"]
        );
        assert_eq!(bodies(&[("D/DSC_0001.JPG", "E", "1"), ("C/DSC_0001.JPG", "", "")]), ["E 1", " "]);
    }
}
