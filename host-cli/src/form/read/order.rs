//! Putting in order. Short lists only, and one body of code for all numbers: each sort of the standard
//! library would cost the page three kilobytes.

/// Puts a short list into an order, equal ones as they came: each next one is moved forward.
pub(crate) fn sort_short<T>(list: &mut [T], before: fn(&T, &T) -> bool) {
    for next in 1..list.len() {
        let mut at = next;
        while at > 0 && before(&list[at], &list[at - 1]) {
            list.swap(at, at - 1);
            at -= 1;
        }
    }
}

/// The value below which a part of all values lies (in hundredths); zero if there are none.
pub(super) fn ranked(values: &mut [f32], hundredths: usize) -> f32 {
    sort(values);
    values.get(values.len() * hundredths / 100).copied().unwrap_or(0.0)
}

/// Ascending: moved forward by ever shorter steps.
fn sort(values: &mut [f32]) {
    let mut step = values.len() / 2;
    while step > 0 {
        for next in step..values.len() {
            let mut at = next;
            while at >= step && values[at] < values[at - step] {
                values.swap(at, at - step);
                at -= step;
            }
        }
        step /= 2;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_put_in_order() {
        let mut values: Vec<f32> = (0..97_u16).map(|at| f32::from(at * 37 % 97)).collect();
        assert!((ranked(&mut values, 50) - 48.0).abs() < 0.1);
        assert!(values.windows(2).all(|two| two[0] <= two[1]));
        assert!(ranked(&mut [], 50).abs() < 0.1);
    }

    #[test]
    fn equal_ones_stay_as_they_came() {
        let mut list = [(2, 'a'), (1, 'b'), (2, 'c'), (1, 'd')];
        sort_short(&mut list, |one, other| one.0 < other.0);
        assert_eq!(list, [(1, 'b'), (1, 'd'), (2, 'a'), (2, 'c')]);
    }
}
