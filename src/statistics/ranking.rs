//! Places in a ranking, shared by those between which nothing is shown.

use super::estimate::{Estimate, simultaneous_level};
use super::interval::IntervalMethod;
use super::summary::{Summary, means_of_paired};

/// The place of each series by its mean, from 1 for the smallest: one more than the number of those that are ahead of it.
///
/// One is ahead of another if it is shown to be smaller by at least the share `matters` of the other's mean: where the
/// means are `exact`, if it is; else if the paired interval of the difference leaves zero out on that side, each at the
/// level at which those of all pairs hold together by Bonferroni's inequality (Law, Simulation Modeling and Analysis,
/// section 10.3.2). So with a probability of at least `level` nobody stands ahead of anybody who is better. Whoever
/// shares a place need not be as good: nothing is shown between them, or nothing that matters.
///
/// Equal places of the series belong to one replication. Nothing if a series is empty or they are not equally long.
///
/// # Panics
/// If the level does not lie between 0 and 1.
pub fn shared_places(
    series: &[&[f64]],
    exact: bool,
    matters: f64,
    (level, method): (f64, IntervalMethod),
) -> Option<Vec<usize>> {
    let means = means_of_paired(series)?;
    let pairs = series.len() * series.len().saturating_sub(1) / 2;
    let each = simultaneous_level(level, pairs.max(1));
    let is_shown = |ahead: usize, behind: usize| {
        let pairs = series[ahead].iter().zip(series[behind]);
        let differences: Summary = pairs.map(|(ahead, behind)| behind - ahead).collect();
        let low = Estimate::by(&differences, each, method).and_then(|estimate| estimate.low());
        low.is_some_and(|low| low > 0.0)
    };
    let is_ahead = |ahead: usize, behind: usize| {
        let by = means[behind] - means[ahead];
        by > 0.0 && by >= matters * means[behind].abs() && (exact || is_shown(ahead, behind))
    };
    let all = 0..series.len();
    let places = all.clone().map(|own| {
        let ahead = all.clone().filter(|&other| is_ahead(other, own));
        1 + ahead.count()
    });
    Some(places.collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    const METHOD: (f64, IntervalMethod) = (0.95, IntervalMethod::Student);

    /// By hand: 0.5 % less is not worth a place, 2 % less is, and the third is behind both.
    #[test]
    fn a_place_is_shared_where_the_difference_does_not_matter() {
        let exact: [&[f64]; 4] = [&[200.0], &[199.0], &[196.0], &[250.0]];
        assert_eq!(
            shared_places(&exact, true, 0.01, METHOD),
            Some(vec![2, 2, 1, 4])
        );
    }

    /// Two that differ by their luck alone share a place; a third is worse by 10 in every replication.
    #[test]
    fn a_place_is_shared_where_no_difference_is_shown() {
        let luck: Vec<f64> = (0..40).map(|n| 100.0 + f64::from(n * 7 % 11)).collect();
        let other: Vec<f64> = (0..40).map(|n| 100.0 + f64::from(n * 5 % 11)).collect();
        let worse: Vec<f64> = luck.iter().map(|value| value + 10.0).collect();
        let places = shared_places(&[&worse, &luck, &other], false, 0.0, METHOD);
        assert_eq!(places, Some(vec![3, 1, 1]));
    }

    #[test]
    fn a_single_replication_shows_nothing_where_luck_is_in_it() {
        let places = shared_places(&[&[1.0], &[2.0]], false, 0.0, METHOD);
        assert_eq!(places, Some(vec![1, 1]));
    }

    #[test]
    fn series_that_do_not_belong_together_have_no_places() {
        assert_eq!(shared_places(&[&[1.0], &[]], true, 0.0, METHOD), None);
        assert_eq!(
            shared_places(&[&[1.0], &[1.0, 2.0]], true, 0.0, METHOD),
            None
        );
        assert_eq!(shared_places(&[], true, 0.0, METHOD), Some(vec![]));
    }
}
