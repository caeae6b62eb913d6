#include "study/strip_range.h"

#include <math.h>
#include <stdbool.h>

#include "study/paired.h"

#define FARTHEST 4.6               /* in the logarithm: a factor of 100 either way counts as open */
#define STEPS    40
#define ROUNDS   60

/* The readings, and which of the two logarithms is held. */
typedef struct profile {
    const thaw_strip_curve *curve;
    size_t n;
    const thaw_strip_reading *readings;
    bool holds_speed;
} profile;

double thaw_strip_doubt(double height_m)
{
    return hypot(THAW_STRIP_RULER_M, THAW_STRIP_SHARE * height_m);
}

/* Sum of squares at a point; slope and curvature (Gauss-Newton) along the logarithm that is not held. */
static double cost_at(const profile *p, double held, double free, double *down, double *curvature)
{
    double cost = 0.0;
    *down = *curvature = 0.0;
    for (size_t i = 0; i < p->n; i++) {
        const thaw_strip_reading *r = &p->readings[i];
        double slope;
        const double h = thaw_strip_height(p->curve, p->holds_speed ? held : free, p->holds_speed ? free : held, r->t_s, &slope);
        const double off = (r->height_m - h) / r->doubt_m, d = h * (p->holds_speed ? 1.0 - slope : slope) / r->doubt_m;
        cost += off * off;
        *down += d * off;
        *curvature += d * d;
    }
    return cost;
}

/* Least sum of squares with one logarithm held; *free starts near and ends at the best of the other. */
static double least_at(const profile *p, double held, double *free)
{
    double down, curvature, damping = 1e-6;
    double cost = cost_at(p, held, *free, &down, &curvature);
    for (int round = 0; round < ROUNDS && curvature > 0.0; round++) {
        const double step = fmax(-1.0, fmin(1.0, down / (curvature * (1.0 + damping))));
        double next_down, next_curvature;
        const double next = cost_at(p, held, *free + step, &next_down, &next_curvature);
        if (next > cost) {
            damping = fmax(10.0 * damping, 1e-3);
            if (damping > 1e12) {
                break;
            }
            continue;
        }
        *free += step;
        down = next_down;
        curvature = next_curvature;
        cost = next;
        damping *= 0.1;
        if (fabs(step) < 1e-10) {
            break;
        }
    }
    return cost;
}

/* How far from the fit, in the direction of `sign`, the limit is passed; infinite if it is not. */
static double way_out(const profile *p, double at, double other, double step, int sign, double limit)
{
    double inside = 0.0, free = other, way = step;
    for (int i = 0; i < STEPS && way < FARTHEST; i++) {
        double trial = free;
        if (least_at(p, at + sign * way, &trial) > limit) {
            double outside = way;
            for (int round = 0; round < 40; round++) {
                const double middle = 0.5 * (inside + outside);
                trial = free;
                if (least_at(p, at + sign * middle, &trial) > limit) {
                    outside = middle;
                } else {
                    inside = middle;
                }
            }
            return outside;
        }
        inside = way;
        free = trial;
        way *= 1.3;
    }
    return INFINITY;
}

static thaw_strip_range range_of(const profile *p, double at, double other, double step, double limit)
{
    return (thaw_strip_range){exp(at - way_out(p, at, other, step, -1, limit)),
                              exp(at + way_out(p, at, other, step, 1, limit))};
}

void thaw_strip_range_find(const thaw_strip_curve *curve, size_t n, const thaw_strip_reading *readings,
                           const thaw_strip_estimate *fit, double beyond, thaw_strip_ranges *out)
{
    const double x = log(fit->cloth.speed_m_s), y = log(fit->cloth.head_m);
    profile p = {curve, n, readings, true};
    double down, curvature;
    const double least = cost_at(&p, x, y, &down, &curvature);
    const double freedom = THAW_STRIP_PRIOR + (double)n - 2.0, t = thaw_student_quantile(beyond, freedom);
    const double limit = least + (THAW_STRIP_PRIOR + least) / freedom * t * t;
    out->speed_m_s = range_of(&p, x, y, fmax(1e-4, 0.1 * fit->log_speed_error), limit);
    p.holds_speed = false;
    out->head_m = range_of(&p, y, x, fmax(1e-4, 0.1 * fit->log_head_error), limit);
}
