//! Going through every choice of one answer to each of several questions, as a counter goes on.

/// How many choices there are; `None` past `u64`.
pub(super) fn how_many(sizes: impl IntoIterator<Item = usize>) -> Option<u64> {
    sizes.into_iter().try_fold(1_u64, |n, size| n.checked_mul(size as u64))
}

/// Every choice, the last question turning fastest; none where a question has no answer.
pub(super) fn every(sizes: &[usize]) -> impl Iterator<Item = Vec<usize>> {
    let mut next = sizes.iter().all(|&size| size > 0).then(|| vec![0; sizes.len()]);
    std::iter::from_fn(move || {
        let now = next.take()?;
        next = (0..now.len()).rev().find(|&i| now[i] + 1 < sizes[i]).map(|turns| {
            let mut then = now.clone();
            then[turns] += 1;
            then[turns + 1..].fill(0);
            then
        });
        Some(now)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_choice_comes_once_in_order() {
        let all: Vec<Vec<usize>> = every(&[2, 1, 3]).collect();
        assert_eq!(all, [[0, 0, 0], [0, 0, 1], [0, 0, 2], [1, 0, 0], [1, 0, 1], [1, 0, 2]]);
        assert_eq!(how_many([2, 1, 3]), Some(6));
        assert_eq!(every(&[]).count(), 1);
        assert_eq!(every(&[2, 0]).count(), 0);
        assert_eq!(how_many([usize::MAX, 2]), None);
    }
}
