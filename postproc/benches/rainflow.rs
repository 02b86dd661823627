//! Points a second of rainflow counting, one core.

use std::hint::black_box;

use criterion::{BatchSize, Criterion, Throughput, criterion_group, criterion_main};
use wakebeat_postproc::counting::rainflow_with;

/// A million points of a linear congruential generator: nearly every point is near a turning point.
fn noise(points: usize) -> Vec<f64> {
    let mut state: u64 = 12345;
    (0..points)
        .map(|_| {
            state = (1_103_515_245 * state + 12345) % (1 << 31);
            200.0 * state as f64 / f64::from(1 << 30) / 2.0 - 100.0
        })
        .collect()
}

/// Hub load at 64 azimuths with 1P, 2P and 4P under a slow envelope.
fn tones(points: usize) -> Vec<f64> {
    (0..points)
        .map(|k| {
            let psi = k as f64 * std::f64::consts::TAU / 64.0;
            let envelope = 1.0 + 0.5 * (psi / 20.0).sin();
            100.0 + envelope * (30.0 * psi.cos() + 8.0 * (2.0 * psi + 0.7).cos() + 3.0 * (4.0 * psi).cos())
        })
        .collect()
}

fn rainflow(c: &mut Criterion) {
    const POINTS: usize = 1_000_000;
    let mut group = c.benchmark_group("rainflow");
    group.throughput(Throughput::Elements(POINTS as u64));
    for (name, history) in [("noise", noise(POINTS)), ("tones", tones(POINTS))] {
        group.bench_function(name, |b| {
            b.iter_batched_ref(
                || 0.0,
                |sum| rainflow_with(black_box(&history), |cycle| *sum += cycle.count * cycle.range),
                BatchSize::SmallInput,
            );
        });
    }
    group.finish();
}

criterion_group!(benches, rainflow);
criterion_main!(benches);
