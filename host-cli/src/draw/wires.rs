//! Tracks for cables: which runs beside which, so that short ones lie inside long ones.

/// A stretch from one height to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Span {
    low: i32,
    high: i32,
}

impl Span {
    /// Between two heights in any order.
    pub(super) fn between(a: i32, b: i32) -> Self {
        Self { low: a.min(b), high: a.max(b) }
    }

    const fn meets(self, other: Self) -> bool {
        self.low <= other.high && other.low <= self.high
    }
}

/// The track of each stretch, the innermost being 0, and how many there are. Two that meet have
/// two tracks, the longer one further out: where one lies inside the other, they do not cross.
pub(super) fn tracks(spans: &[Span]) -> (Vec<i32>, i32) {
    let mut order: Vec<usize> = (0..spans.len()).collect();
    order.sort_by_key(|at| (spans[*at].high - spans[*at].low, spans[*at], *at));
    let mut tracks = vec![-1; spans.len()];
    let mut count = 0;
    for (done, at) in order.iter().enumerate() {
        let inside = order[..done].iter().filter(|other| spans[**other].meets(spans[*at]));
        let track = inside.map(|other| tracks[*other] + 1).max().unwrap_or(0);
        tracks[*at] = track;
        count = count.max(track + 1);
    }
    (tracks, count)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_lies_inside_has_an_inner_track() {
        let spans = [Span::between(0, 9), Span::between(3, 1), Span::between(5, 8)];
        assert_eq!(tracks(&spans), (vec![1, 0, 0], 2));
    }

    #[test]
    fn two_that_meet_never_share_a_track() {
        let spans: Vec<_> = (0..20).map(|at| Span::between(at, at * 7 % 23)).collect();
        let (tracks, count) = tracks(&spans);
        for (a, one) in spans.iter().enumerate() {
            assert!(tracks[a] < count);
            for (b, other) in spans.iter().enumerate().skip(a + 1) {
                assert!(!one.meets(*other) || tracks[a] != tracks[b], "{one:?} {other:?}");
            }
        }
    }
}
