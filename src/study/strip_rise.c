#include "study/strip_rise.h"

#include <math.h>

#include "base/alloc.h"
#include "base/error.h"
#include "sim/wick.h"

/* The column, in units of h_e, K_s and phi. Cells grow upwards by a fixed share: a front that climbs over
 * three decades is resolved alike everywhere. Its top, 12, is above Z(1000) of lambda 0.4. */
#define CELLS      240
#define FIRST_CELL 0.008
#define GROWTH     1.0125
/* du/ds above s = 1, so steep that the fringe at the foot holds no more than its pores. */
#define NO_FILM    100.0
#define TUB_VOLUME 1e12            /* so much that it stays at psi = 0 */
#define TAU_FIRST  0.01
#define TAU_LAST   1000.0
#define STEP_ERROR 2e-3            /* of saturation, as thaw_wick_step gives it */
#define SMOOTH_DEGREE 6
#define MOST_STEPS 20000           /* some 2000 are needed */
/* Longest step, in times a cell at the foot takes to even out: beyond, the solver's single precision shows in
 * the fringe as waves. */
#define LONGEST    1.5e4

typedef struct column {
    thaw_retention retention;
    thaw_web web;
    thaw_wick wick;
    double z[CELLS + 1], volume[CELLS + 1], source[CELLS + 1]; /* index 0 is the top, CELLS the tub */
    double state[2][CELLS + 1];
    int now;                       /* which of the states holds */
    double dt;
    int steps;
} column;

static void column_layout(column *c)
{
    double foot = 0.0, size = FIRST_CELL;
    for (int i = CELLS - 1; i >= 0; i--) {
        c->z[i] = foot + 0.5 * size;
        c->volume[i] = size;
        foot += size;
        size *= GROWTH;
    }
    c->z[CELLS] = 0.0;
    c->volume[CELLS] = TUB_VOLUME;
    c->state[0][CELLS] = 1.0 + 1.0 / NO_FILM; /* psi = 0 */
}

static thaw_status column_create(double lambda, column **out, thaw_error *err)
{
    column *c = thaw_allocate(1, sizeof *c, err);
    if (!c) {
        return THAW_ERR_MEMORY;
    }
    column_layout(c);
    thaw_retention_init(&c->retention, lambda);
    c->retention.film_slope = NO_FILM;
    c->dt = 1e-3 * TAU_FIRST;
    thaw_status status = thaw_web_create(CELLS + 1, 1, 1.0, NULL, c->z, &c->web, err);
    if (status == THAW_OK) {
        for (int i = 0; i < CELLS; i++) {
            c->web.gx[i] = 1.0 / (c->z[i] - c->z[i + 1]);
        }
        status = thaw_wick_create(&c->retention, &c->web, c->volume, &c->wick, err);
    }
    if (status != THAW_OK) {
        thaw_web_destroy(&c->web);
        thaw_release(c);
        return status;
    }
    c->wick.solver_tolerance = 1e-5 * FIRST_CELL / c->volume[0];
    thaw_wick_refresh(&c->wick);
    *out = c;
    return THAW_OK;
}

static void column_destroy(column *c)
{
    thaw_wick_destroy(&c->wick);
    thaw_web_destroy(&c->web);
    thaw_release(c);
}

static thaw_status column_advance(column *c, double from, double to, thaw_error *err)
{
    double left = to - from;
    while (left > 1e-9 * to) {
        double error, dt = fmin(fmin(c->dt, LONGEST * FIRST_CELL * FIRST_CELL), left);
        thaw_wick_step(&c->wick, dt, c->state[c->now], c->source, c->state[1 - c->now], &error);
        double factor = 0.9 * sqrt(STEP_ERROR / fmax(error, 1e-3 * STEP_ERROR));
        if (error <= STEP_ERROR) {
            left -= dt;
            c->now = 1 - c->now;
            c->dt *= dt < c->dt ? 1.0 : fmin(factor, 2.0);
        } else {
            c->dt = dt * (factor > 0.2 ? fmin(factor, 0.9) : 0.2); /* 0.2 also where factor is no number */
        }
        if (++c->steps > MOST_STEPS) {
            return thaw_fail(err, THAW_ERR_UNPHYSICAL, "strip test: steps grow too short at t K_s / (phi h_e) = %g",
                             to - left);
        }
    }
    return THAW_OK;
}

/* Behind the front s^m is a straight line in z, m = 2 + 1 / lambda (Barenblatt 1952): go on along it from
 * two cells that are filled; the highest that looks wet may still be filling. Finer than the cells. */
static double column_front(const column *c)
{
    const double *s = c->state[c->now], m = 2.0 + 1.0 / c->retention.lambda;
    int i = 1;
    while (i < CELLS - 2 && s[i - 1] < THAW_STRIP_VISIBLE) {
        i++;
    }
    double here = pow(fmin(s[i], 1.0), m), below = pow(fmin(s[i + 1], 1.0), m);
    double ahead = (here - pow(THAW_STRIP_VISIBLE, m)) * (c->z[i] - c->z[i + 1]) / fmax(below - here, 1e-12);
    double least = c->z[i - 1] - c->z[i], most = i > 1 ? c->z[i - 2] - c->z[i] : least;
    return c->z[i] + fmax(least, fmin(ahead, most));
}

static double column_water(const column *c)
{
    double sum = 0.0;
    for (int i = 0; i < CELLS; i++) {
        sum += c->volume[i] * fmin(c->state[c->now][i], 1.0);
    }
    return sum;
}

/* y becomes its least-squares polynomial over evenly spaced points, by orthogonal polynomials (Forsythe 1957). */
static void smooth(double *y)
{
    double before[THAW_STRIP_POINTS] = {0}, p[THAW_STRIP_POINTS], fit[THAW_STRIP_POINTS] = {0}, last = 1.0;
    for (int i = 0; i < THAW_STRIP_POINTS; i++) {
        p[i] = 1.0;
    }
    for (int degree = 0; degree <= SMOOTH_DEGREE; degree++) {
        double pp = 0.0, xpp = 0.0, yp = 0.0;
        for (int i = 0; i < THAW_STRIP_POINTS; i++) {
            double x = 2.0 * i / (THAW_STRIP_POINTS - 1) - 1.0;
            pp += p[i] * p[i];
            xpp += x * p[i] * p[i];
            yp += y[i] * p[i];
        }
        for (int i = 0; i < THAW_STRIP_POINTS; i++) {
            double x = 2.0 * i / (THAW_STRIP_POINTS - 1) - 1.0, now = p[i];
            fit[i] += yp / pp * now;
            p[i] = (x - xpp / pp) * now - (degree ? pp / last : 0.0) * before[i];
            before[i] = now;
        }
        last = pp;
    }
    for (int i = 0; i < THAW_STRIP_POINTS; i++) {
        y[i] = fit[i];
    }
}

/* The front climbs from cell to cell, so its place wavers by up to 1 %, and a fit lives on slopes. Water taken
 * up does not waver, and the ratio of the two changes slowly: smooth that. */
static void smooth_front(thaw_strip_curve *curve)
{
    double ratio[THAW_STRIP_POINTS];
    for (int i = 0; i < THAW_STRIP_POINTS; i++) {
        ratio[i] = curve->log_front[i] - curve->log_uptake[i];
    }
    smooth(ratio);
    for (int i = 0; i < THAW_STRIP_POINTS; i++) {
        curve->log_front[i] = curve->log_uptake[i] + ratio[i];
    }
}

thaw_status thaw_strip_curve_compute(double lambda, thaw_strip_curve *out, thaw_error *err)
{
    if (!(lambda >= 0.4 && lambda <= 3.0)) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "strip test: lambda must lie between 0.4 and 3, got %g", lambda);
    }
    column *c;
    thaw_status status = column_create(lambda, &c, err);
    if (status != THAW_OK) {
        return status;
    }
    thaw_strip_curve curve = {.lambda = lambda};
    const double step = log(TAU_LAST / TAU_FIRST) / (THAW_STRIP_POINTS - 1);
    double now = 0.0;
    for (int i = 0; i < THAW_STRIP_POINTS && status == THAW_OK; i++) {
        curve.log_tau[i] = log(TAU_FIRST) + i * step;
        status = column_advance(c, now, exp(curve.log_tau[i]), err);
        now = exp(curve.log_tau[i]);
        curve.log_front[i] = log(column_front(c));
        curve.log_uptake[i] = log(column_water(c));
    }
    column_destroy(c);
    if (status == THAW_OK) {
        smooth_front(&curve);
        *out = curve;
    }
    return status;
}

/* Slope of the curve at point i, per point. */
static double slope_at(const double *y, int i)
{
    const int last = THAW_STRIP_POINTS - 1;
    return i == 0 ? y[1] - y[0] : (i == last ? y[last] - y[last - 1] : 0.5 * (y[i + 1] - y[i - 1]));
}

/* ln Z at ln tau, and its derivative: cubic Hermite, straight beyond the ends. */
static double curve_front(const thaw_strip_curve *curve, double log_tau, double *slope)
{
    const double *y = curve->log_front, step = curve->log_tau[1] - curve->log_tau[0];
    const int last = THAW_STRIP_POINTS - 1;
    double x = (log_tau - curve->log_tau[0]) / step;
    if (x <= 0.0 || x >= last) {
        int end = x <= 0.0 ? 0 : last;
        *slope = slope_at(y, end) / step;
        return y[end] + (x - end) * slope_at(y, end);
    }
    int i = (int)x;
    double t = x - i, m0 = slope_at(y, i), m1 = slope_at(y, i + 1), rise = y[i + 1] - y[i];
    double c2 = 3.0 * rise - 2.0 * m0 - m1, c3 = m0 + m1 - 2.0 * rise;
    *slope = (m0 + t * (2.0 * c2 + t * 3.0 * c3)) / step;
    return y[i] + t * (m0 + t * (c2 + t * c3));
}

double thaw_strip_height(const thaw_strip_curve *curve, double log_speed, double log_head, double t_s, double *slope)
{
    return exp(log_head + curve_front(curve, log(t_s) + log_speed - log_head, slope));
}

thaw_status thaw_strip_rise(const thaw_strip_curve *curve, const thaw_strip_cloth *cloth, size_t n, const double *t_s,
                            double *height_m, thaw_error *err)
{
    if (!(cloth->speed_m_s > 0.0 && cloth->head_m > 0.0)) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "strip test: K_s / phi and h_e must be above 0");
    }
    for (size_t i = 0; i < n; i++) {
        if (!(t_s[i] > 0.0)) {
            return thaw_fail(err, THAW_ERR_ARGUMENT, "strip test: time %zu must be above 0, got %g s", i + 1, t_s[i]);
        }
    }
    for (size_t i = 0; i < n; i++) {
        double slope;
        height_m[i] = thaw_strip_height(curve, log(cloth->speed_m_s), log(cloth->head_m), t_s[i], &slope);
    }
    return THAW_OK;
}

/* Least squares at a point: sum of squares, and the normal equations of d(residual). */
typedef struct normal {
    double cost;
    double xx, xy, yy;             /* x = ln speed, y = ln head */
    double bx, by;
} normal;

static normal normal_at(const thaw_strip_curve *curve, size_t n, const thaw_strip_reading *readings, double x, double y)
{
    normal e = {0};
    for (size_t i = 0; i < n; i++) {
        double slope, h = thaw_strip_height(curve, x, y, readings[i].t_s, &slope);
        double off = (readings[i].height_m - h) / readings[i].doubt_m;
        double dx = h * slope / readings[i].doubt_m, dy = h * (1.0 - slope) / readings[i].doubt_m;
        e.cost += off * off;
        e.xx += dx * dx;
        e.xy += dx * dy;
        e.yy += dy * dy;
        e.bx += dx * off;
        e.by += dy * off;
    }
    return e;
}

/* For the first reading at a given tau only the height scale is open: the best one, in ln speed and ln head. */
static double scaled_at(const thaw_strip_curve *curve, size_t n, const thaw_strip_reading *readings, double log_tau,
                        double *x, double *y)
{
    double hz = 0.0, zz = 0.0, slope;
    for (size_t i = 0; i < n; i++) {
        double z = exp(curve_front(curve, log_tau + log(readings[i].t_s / readings[0].t_s), &slope));
        double weight = 1.0 / (readings[i].doubt_m * readings[i].doubt_m);
        hz += weight * readings[i].height_m * z;
        zz += weight * z * z;
    }
    *y = log(hz / zz);
    *x = log_tau + *y - log(readings[0].t_s);
    return normal_at(curve, n, readings, *x, *y).cost;
}

/* Best start over the whole curve; 0 where it lies at an end, where the curve is a power of time and speed
 * and head cannot be told apart. */
static int find_start(const thaw_strip_curve *curve, size_t n, const thaw_strip_reading *readings, double *x, double *y)
{
    double least = INFINITY;
    int best = 0;
    for (int i = 0; i < THAW_STRIP_POINTS; i++) {
        double xi, yi, cost = scaled_at(curve, n, readings, curve->log_tau[i], &xi, &yi);
        if (cost < least) {
            least = cost;
            best = i;
            *x = xi;
            *y = yi;
        }
    }
    return best > 0 && best < THAW_STRIP_POINTS - 1;
}

/* Levenberg-Marquardt from x, y to the least sum of squares. */
static normal descend(const thaw_strip_curve *curve, size_t n, const thaw_strip_reading *readings, double *x, double *y)
{
    double damping = 1e-3;
    normal e = normal_at(curve, n, readings, *x, *y);
    for (int round = 0; round < 200; round++) {
        double xx = e.xx * (1.0 + damping), yy = e.yy * (1.0 + damping), det = xx * yy - e.xy * e.xy;
        double sx = (yy * e.bx - e.xy * e.by) / det, sy = (xx * e.by - e.xy * e.bx) / det;
        normal next = normal_at(curve, n, readings, *x + sx, *y + sy);
        if (next.cost <= e.cost) {
            *x += sx;
            *y += sy;
            e = next;
            damping = fmax(0.2 * damping, 1e-12);
        } else {
            damping *= 10.0;
        }
        if (fabs(sx) + fabs(sy) < 1e-9) {
            break;
        }
    }
    return e;
}

static thaw_status check_readings(size_t n, const thaw_strip_reading *readings, thaw_error *err)
{
    if (n < 2) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "strip test: two readings at least, got %zu", n);
    }
    for (size_t i = 0; i < n; i++) {
        const thaw_strip_reading *r = &readings[i];
        if (!(r->t_s > 0.0 && r->height_m > 0.0 && r->doubt_m > 0.0)) {
            return thaw_fail(err, THAW_ERR_ARGUMENT,
                             "strip test: time, height and doubt of reading %zu must be above 0", i + 1);
        }
    }
    return THAW_OK;
}

thaw_status thaw_strip_fit(const thaw_strip_curve *curve, size_t n, const thaw_strip_reading *readings,
                           thaw_strip_estimate *out, thaw_error *err)
{
    double x = 0.0, y = 0.0;
    thaw_status status = check_readings(n, readings, err);
    if (status != THAW_OK) {
        return status;
    }
    int found = find_start(curve, n, readings, &x, &y);
    normal e = descend(curve, n, readings, &x, &y);
    const double det = e.xx * e.yy - e.xy * e.xy;
    if (!found || !(det > 1e-9 * e.xx * e.yy)) {
        return thaw_fail(err, THAW_ERR_SCENARIO,
                         "strip test: these readings do not tell K_s / phi from h_e; take some much later than the first");
    }
    double squares = 0.0, slope;
    for (size_t i = 0; i < n; i++) {
        squares += pow(readings[i].height_m - thaw_strip_height(curve, x, y, readings[i].t_s, &slope), 2.0);
    }
    const double wider = n > 2 ? sqrt(fmax(1.0, e.cost / (double)(n - 2))) : 1.0;
    *out = (thaw_strip_estimate){
        .cloth = {.speed_m_s = exp(x), .head_m = exp(y)},
        .log_speed_error = wider * sqrt(e.yy / det),
        .log_head_error = wider * sqrt(e.xx / det),
        .correlation = -e.xy / sqrt(e.xx * e.yy),
        .rms_m = sqrt(squares / (double)n),
    };
    return THAW_OK;
}
