//! The interface's own time for one frame, without a graphics driver: `cargo bench --bench frame`.

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use eframe::egui::{Context, FullOutput, RawInput, Rect, pos2, vec2};
use second_breath::app::App;
use second_breath::app::preferences::{Look, Preferences};
use std::time::Duration;

fn main() {
    divan::main();
}

const SIZE: [f32; 2] = [1920.0, 1080.0];
/// Screen refresh of the frames, s.
const STEP_S: f64 = 1.0 / 60.0;

/// A window that is never put on a screen.
struct Window {
    ctx: Context,
    app: App,
    frames: u32,
}

impl Window {
    /// Finished runs on `benches` benches, playing.
    fn playing(benches: usize) -> Self {
        let ctx = Context::default();
        // screen readers are served as well, which costs time
        ctx.enable_accesskit();
        let preferences = Preferences { look: Look::Paper, ..Preferences::default() };
        let app = App::new(&ctx, preferences, &[]);
        let mut window = Self { ctx, app, frames: 0 };
        while window.app.state.benches.len() < benches {
            window.app.state.add(None);
        }
        assert!(window.app.wait_for_runs(Duration::from_secs(120)), "a run did not finish");
        // layout and the texts' pictures settle
        for _ in 0..30 {
            window.frame();
        }
        window.app.state.seek(0.40);
        window.app.state.time.playing = true;
        window.app.state.time.speed = 0;
        window
    }

    fn shapes(&mut self) -> FullOutput {
        self.frames += 1;
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(pos2(0.0, 0.0), vec2(SIZE[0], SIZE[1]))),
            time: Some(f64::from(self.frames) * STEP_S),
            focused: true,
            ..RawInput::default()
        };
        let Self { ctx, app, .. } = self;
        let mut output = ctx.run_ui(input, |ui| app.show(ui));
        // there is no graphics driver to take them
        output.textures_delta.clear();
        output
    }

    /// One frame; gives the triangles' corners.
    fn frame(&mut self) -> usize {
        let mut output = self.shapes();
        let meshes = self.ctx.tessellate(std::mem::take(&mut output.shapes), output.pixels_per_point);
        black_box(&output);
        let corners = meshes.iter().map(|mesh| match &mesh.primitive {
            eframe::egui::epaint::Primitive::Mesh(mesh) => mesh.vertices.len(),
            eframe::egui::epaint::Primitive::Callback(_) => 0,
        });
        corners.sum()
    }
}

/// Layout, painting and triangles.
#[divan::bench(args = [1, 2, 4], sample_count = 300)]
fn frame(bencher: Bencher<'_, '_>, benches: usize) {
    let mut window = Window::playing(benches);
    let before = window.app.state.time.cursor_s;
    window.frame();
    assert!(window.app.state.time.cursor_s > before, "the cursor stands still");
    let corners = window.frame();
    bencher.counter(ItemsCount::new(corners)).bench_local(|| window.frame());
}

/// Layout and painting alone.
#[divan::bench(args = [4], sample_count = 300)]
fn shapes(bencher: Bencher<'_, '_>, benches: usize) {
    let mut window = Window::playing(benches);
    bencher.bench_local(|| window.shapes());
}
