//! Made-up camera frames with codes in them, the same for every run.

use lantern_ring::tag::Luma;

/// Numbers that look random, the same for the same seed (SplitMix64, Steele, Lea and Flood 2014).
pub struct Dice(pub u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Evenly between `low` and `high`.
    pub fn between(&mut self, low: f32, high: f32) -> f32 {
        low + (high - low) * (self.next() >> 40) as f32 / (1_u64 << 24) as f32
    }

    /// Near 0, spread by `deviation`: the sum of four even throws.
    fn noise(&mut self, deviation: f32) -> f32 {
        let sum: f32 = (0..4).map(|_| self.between(-1.0, 1.0)).sum();
        sum * deviation / (4.0_f32 / 3.0).sqrt()
    }
}

/// A code lying in a scene.
pub struct Placed<'a> {
    /// The code with its quiet zone, in any resolution.
    pub code: &'a Luma,
    /// Where its middle lies, in pixels.
    pub middle: (f32, f32),
    /// Its width in the scene, in pixels, quiet zone included.
    pub width: f32,
    /// Turned by this, in degrees.
    pub turn: f32,
    /// Foreshortening along one side: 0 is flat on, 0.3 strongly tilted.
    pub tilt: f32,
}

/// What comes between a scene and its frame.
#[derive(Clone, Copy)]
pub struct Trouble {
    /// Standard deviation of a Gaussian blur, in pixels.
    pub blur: f32,
    /// Standard deviation of the noise, in grey levels.
    pub noise: f32,
    /// Brightness of white and of black.
    pub white: f32,
    /// Brightness of black.
    pub black: f32,
    /// How much darker the right edge is than the left, 0 to 1.
    pub shade: f32,
    /// Bright scratches across the picture, one to two pixels wide.
    pub scratches: u32,
    /// Light on dark.
    pub inverted: bool,
}

impl Trouble {
    /// A good picture.
    pub const NONE: Self = Self {
        blur: 0.0,
        noise: 0.0,
        white: 220.0,
        black: 30.0,
        shade: 0.0,
        scratches: 0,
        inverted: false,
    };
}

/// The frame of `size` pixels showing the `placed` codes on a grey wall.
pub fn frame(size: (u32, u32), placed: &[Placed], trouble: Trouble, dice: &mut Dice) -> Luma {
    let (width, height) = size;
    let mut scene = vec![150.0_f32; (width * height) as usize];
    for placed in placed {
        put(&mut scene, size, placed, trouble);
    }
    for _ in 0..trouble.scratches {
        scratch(&mut scene, size, trouble.white, dice);
    }
    if trouble.blur > 0.0 {
        scene = blurred(&scene, width as usize, trouble.blur);
    }
    let mut noisy = scene.iter().zip(0_u32..).map(|(value, i)| {
        let light = 1.0 - trouble.shade * (i % width) as f32 / width as f32;
        (value * light + dice.noise(trouble.noise)).clamp(0.0, 255.0) as u8
    });
    Luma::from_fn(width, height, |_, _| noisy.next().unwrap_or_default())
}

fn put(scene: &mut [f32], (width, height): (u32, u32), placed: &Placed, trouble: Trouble) {
    const SAMPLES: i32 = 4;
    let aspect = placed.code.height() as f32 / placed.code.width() as f32;
    let (sin, cos) = placed.turn.to_radians().sin_cos();
    let reach = placed.width * (1.0 + aspect);
    let span = |middle: f32, end: u32| {
        let last = (middle + reach).clamp(0.0, end as f32);
        (middle - reach).max(0.0) as u32..last as u32
    };
    for y in span(placed.middle.1, height) {
        for x in span(placed.middle.0, width) {
            let (dx, dy) = (
                x as f32 + 0.5 - placed.middle.0,
                y as f32 + 0.5 - placed.middle.1,
            );
            let mut sum = 0.0;
            let mut hits = 0;
            for sample in 0..SAMPLES * SAMPLES {
                let shift = |i: i32| (i as f32 + 0.5) / SAMPLES as f32 - 0.5;
                let (px, py) = (dx + shift(sample % SAMPLES), dy + shift(sample / SAMPLES));
                let (u, v) = ((px * cos + py * sin), (py * cos - px * sin));
                let depth = 1.0 + placed.tilt * v / placed.width;
                let (u, v) = (
                    u / depth / placed.width + 0.5,
                    v / depth / placed.width / aspect + 0.5,
                );
                if (0.0..1.0).contains(&u) && (0.0..1.0).contains(&v) {
                    let column = (u * placed.code.width() as f32) as i64;
                    let row = (v * placed.code.height() as f32) as i64;
                    let dark = (placed.code.at(column, row) < 128) != trouble.inverted;
                    sum += if dark { trouble.black } else { trouble.white };
                    hits += 1;
                }
            }
            if hits > 0 {
                let pixel = &mut scene[(y * width + x) as usize];
                let share = hits as f32 / (SAMPLES * SAMPLES) as f32;
                *pixel = *pixel * (1.0 - share) + sum / (SAMPLES * SAMPLES) as f32;
            }
        }
    }
}

fn scratch(scene: &mut [f32], (width, height): (u32, u32), white: f32, dice: &mut Dice) {
    let (from, to) = (
        dice.between(0.0, height as f32),
        dice.between(0.0, height as f32),
    );
    let thick = dice.between(1.0, 2.4) as i64;
    for x in 0..width {
        let y = from + (to - from) * x as f32 / width as f32;
        for row in y as i64..y as i64 + thick {
            if (0..i64::from(height)).contains(&row) {
                scene[row as usize * width as usize + x as usize] = white;
            }
        }
    }
}

fn blurred(scene: &[f32], width: usize, deviation: f32) -> Vec<f32> {
    let reach = (3.0 * deviation).ceil() as i64;
    let weight = |i: i64| (-(i * i) as f32 / (2.0 * deviation * deviation)).exp();
    let weights: Vec<f32> = (-reach..=reach).map(weight).collect();
    let total: f32 = weights.iter().sum();
    let height = scene.len() / width;
    let along = |from: &[f32], step: (i64, i64)| {
        let mut to = Vec::with_capacity(from.len());
        for y in 0..height as i64 {
            for x in 0..width as i64 {
                let mut sum = 0.0;
                for (weight, i) in weights.iter().zip(-reach..) {
                    let column = (x + i * step.0).clamp(0, width as i64 - 1) as usize;
                    let row = (y + i * step.1).clamp(0, height as i64 - 1) as usize;
                    sum += weight * from[row * width + column];
                }
                to.push(sum / total);
            }
        }
        to
    };
    along(&along(scene, (1, 0)), (0, 1))
}
