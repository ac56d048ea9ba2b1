//! Warming up and cooling down.
//!
//! One lump is a room whose air and things are always as warm as each other. Two are air (with the lining of the walls)
//! that a heater warms, and what stands in it, which follows: glue, finish and iron are as warm as that.

/// A room of one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lump {
    /// What it takes to warm it, in J/K.
    pub capacity: f64,
    /// In W/K, above 0.
    pub loss: f64,
    /// In °C.
    pub outside: f64,
}

/// When a temperature is reached.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reaches {
    /// After so many seconds.
    After(f64),
    Never,
}

impl Lump {
    /// C / UA: how long it takes to lose 63 % of the difference, in s.
    pub fn time_constant(&self) -> f64 {
        self.capacity / self.loss
    }

    /// Where so many W lead to in the end, in °C.
    pub fn steady(&self, power: f64) -> f64 {
        self.outside + power / self.loss
    }

    /// So many seconds after it was so warm, heated with so many W, in °C.
    pub fn after(&self, start: f64, power: f64, seconds: f64) -> f64 {
        let end = self.steady(power);
        end + (start - end) * libm::exp(-seconds / self.time_constant())
    }

    /// When a room that was so warm is as warm as `target`: at once where it is already.
    pub fn warms_to(&self, start: f64, target: f64, power: f64) -> Reaches {
        if start >= target {
            return Reaches::After(0.0);
        }
        self.crosses(start, target, self.steady(power))
    }

    /// When it has fallen to a limit without heat: at once where it is below already.
    pub fn cools_to(&self, start: f64, limit: f64) -> Reaches {
        if start <= limit {
            return Reaches::After(0.0);
        }
        self.crosses(start, limit, self.outside)
    }

    fn crosses(&self, start: f64, target: f64, end: f64) -> Reaches {
        let left = (target - end) / (start - end);
        match left > 0.0 && left < 1.0 {
            true => Reaches::After(-self.time_constant() * libm::log(left)),
            false => Reaches::Never,
        }
    }
}

/// A room's air, and what stands in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoLumps {
    /// What it takes to warm each, in J/K.
    pub air: f64,
    pub mass: f64,
    /// Between the two, in W/K, above 0.
    pub between: f64,
    /// From the air to outdoors, in W/K, above 0.
    pub loss: f64,
    /// In °C.
    pub outside: f64,
}

/// Temperatures as steady + Σ amplitude × e^(rate × seconds), for air and mass.
struct Course {
    steady: f64,
    air: [f64; 2],
    mass: [f64; 2],
    rates: [f64; 2],
}

impl TwoLumps {
    /// C₁ T₁' = P − UA (T₁ − Tₒ) − G (T₁ − T₂) and C₂ T₂' = G (T₁ − T₂), solved exactly.
    fn course(&self, start: [f64; 2], power: f64) -> Course {
        let out = (self.loss + self.between) / self.air;
        let from_mass = self.between / self.air;
        let follows = self.between / self.mass;
        let half = (out + follows) / 2.0;
        let spread = libm::sqrt((out - follows) * (out - follows) / 4.0 + from_mass * follows);
        // The slow one from the product of both: a difference of nearly equal numbers has no digits left.
        let fast = -(half + spread);
        let slow = (out * follows - from_mass * follows) / fast;
        let steady = self.outside + power / self.loss;
        let [air, mass] = start.map(|temperature| temperature - steady);
        // How fast the air changes at first decides how much of each there is.
        let air_pace = -out * air + from_mass * mass;
        let mass_pace = follows * (air - mass);
        let parts = |value: f64, pace: f64| {
            let of_slow = (pace - fast * value) / (slow - fast);
            [of_slow, value - of_slow]
        };
        Course {
            steady,
            air: parts(air, air_pace),
            mass: parts(mass, mass_pace),
            rates: [slow, fast],
        }
    }

    /// Air and mass in °C so many seconds after they were so warm, heated with so many W.
    pub fn after(&self, start: [f64; 2], power: f64, seconds: f64) -> [f64; 2] {
        let course = self.course(start, power);
        [course.air, course.mass].map(|parts| course.at(parts, seconds))
    }

    /// When the air is as warm as `target`.
    pub fn air_warms_to(&self, start: [f64; 2], target: f64, power: f64) -> Reaches {
        if start[0] >= target {
            return Reaches::After(0.0);
        }
        let course = self.course(start, power);
        course.first_at(target)
    }

    /// Air and mass after a time without heat, except what keeps the air from falling below `least`.
    pub fn overnight(&self, start: [f64; 2], least: f64, seconds: f64) -> [f64; 2] {
        let course = self.course(start, 0.0);
        let falls_after = match start[0] > least {
            true => course.first_at(least),
            false => Reaches::After(0.0),
        };
        match falls_after {
            Reaches::After(falls) if falls < seconds => {
                let mass = course.at(course.mass, falls);
                let pace = -self.between / self.mass * (seconds - falls);
                // From then on a heater gives what the mass does not.
                [least, least + (mass - least) * libm::exp(pace)]
            }
            _ => self.after(start, 0.0, seconds),
        }
    }
}

impl Course {
    fn at(&self, parts: [f64; 2], seconds: f64) -> f64 {
        let grown = [0, 1].map(|part| parts[part] * libm::exp(self.rates[part] * seconds));
        self.steady + grown[0] + grown[1]
    }

    /// When the air is first at a temperature. Two exponentials turn at most once, so it is looked for on either side of
    /// where they do.
    fn first_at(&self, target: f64) -> Reaches {
        let off = |seconds: f64| self.at(self.air, seconds) - target;
        let turn = -(self.air[1] * self.rates[1]) / (self.air[0] * self.rates[0]);
        let turn = libm::log(turn) / (self.rates[0] - self.rates[1]);
        // So long that nothing is left to change: forty time constants of the slow part.
        let end = 40.0 / -self.rates[0];
        let mut ends = vec![0.0, end];
        if turn > 0.0 && turn < end {
            ends.insert(1, turn);
        }
        for piece in ends.windows(2) {
            let (mut before, mut after) = (piece[0], piece[1]);
            let sign = off(before);
            if sign == 0.0 {
                return Reaches::After(before);
            }
            if sign * off(after) > 0.0 {
                continue;
            }
            const HALVINGS: u32 = 100;
            for _ in 0..HALVINGS {
                let middle = (before + after) / 2.0;
                match sign * off(middle) > 0.0 {
                    true => before = middle,
                    false => after = middle,
                }
            }
            return Reaches::After(after);
        }
        Reaches::Never
    }
}
