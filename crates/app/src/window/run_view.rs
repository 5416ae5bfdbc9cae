//! What the commands about looking do: zoom and pan of the picture and of the trace, what lies beside and over it.

use super::app::App;
use super::command::Command;
use super::over::Over;
use super::screens::viewer::ZOOM_MOST;
use super::state::{Part, Screen, SpecimenState};

/// One step of zoom by a key.
const ZOOM_STEP: f32 = 1.25;
/// One step of panning by a key, as a share of what is seen.
const PAN_STEP: f32 = 0.2;
/// Frames that the trace shows at least: fewer tell nothing of their neighbours.
pub(crate) const TRACE_LEAST: usize = 12;

impl App {
    pub(super) fn run_on_view(&mut self, command: Command) {
        if self.state.screen == Screen::Card {
            return self.run_on_trace(command);
        }
        let specimen = &mut self.state.specimen;
        match command {
            Command::ZoomPixels => {
                specimen.pixels = specimen.zoom.is_none() && !specimen.pixels;
                specimen.zoom = None;
            }
            Command::ZoomIn => zoom(specimen, ZOOM_STEP),
            Command::ZoomOut => zoom(specimen, 1.0 / ZOOM_STEP),
            Command::ZoomWhole => (specimen.zoom, specimen.pixels) = (None, false),
            Command::PanLeft => specimen.middle.x -= PAN_STEP * specimen.lies.seen.x,
            Command::PanRight => specimen.middle.x += PAN_STEP * specimen.lies.seen.x,
            Command::PanUp => specimen.middle.y -= PAN_STEP * specimen.lies.seen.y,
            Command::PanDown => specimen.middle.y += PAN_STEP * specimen.lies.seen.y,
            Command::HoldBeside => {
                let held = if specimen.beside.is_some() { None } else { self.state.frame };
                specimen.beside = held;
            }
            Command::ShowSharp => show_over(specimen, Over::Sharp),
            Command::ShowLost => show_over(specimen, Over::Lost),
            _ => {}
        }
    }

    fn run_on_trace(&mut self, command: Command) {
        let Some(open) = &self.open else { return };
        let frames = open.day.session.frames.len().max(1);
        let chosen = self.state.frame.and_then(|f| open.sheet.places.get(&f));
        let part = &mut self.state.card.part;
        let wide = part.to - part.from;
        let middle = f32::midpoint(part.from, part.to);
        // About the chosen frame when it is in view.
        let about = chosen.map(|at| (*at as f32 + 0.5) / frames as f32);
        let about = about.filter(|at| (part.from..=part.to).contains(at)).unwrap_or(middle);
        let least = TRACE_LEAST as f32 / frames as f32;
        *part = match command {
            Command::ZoomIn => part.zoomed(ZOOM_STEP, about, least),
            Command::ZoomOut => part.zoomed(1.0 / ZOOM_STEP, about, least),
            Command::ZoomWhole => Part::default(),
            Command::PanLeft => part.moved(-PAN_STEP * wide),
            Command::PanRight => part.moved(PAN_STEP * wide),
            _ => *part,
        };
    }
}

/// Zooms by a factor about the middle; back to fitted where it would be smaller.
fn zoom(specimen: &mut SpecimenState, factor: f32) {
    let lies = specimen.lies;
    let wanted = (lies.zoom * factor).min(ZOOM_MOST.max(lies.fitted));
    // As good as fitted is fitted: a step there and one back are not quite nothing.
    specimen.zoom = (wanted > 1.001 * lies.fitted).then_some(wanted);
    specimen.pixels = false;
}

/// Shows this over the picture, or nothing when it is shown already.
fn show_over(specimen: &mut SpecimenState, over: Over) {
    specimen.over = if specimen.over == Some(over) { None } else { Some(over) };
}
