/* Cloth with fine parallel pleats keeps its length along them and gets 1 / m shorter across, m: layers. The
 * map of a twist, (r, phi) -> (rho, phi + theta(r)) in polar coordinates, has the gradient
 *   [[rho', 0], [rho theta', rho / r]]     (columns: step along r, step round; rows likewise)
 * and is such a pleating if its singular values are 1 and 1 / m:
 *   rho' rho / r = 1 / m,     rho'^2 + (rho theta')^2 + (rho / r)^2 = 1 + 1 / m^2.
 * With constant m the disc has 1 / sqrt(m) of the radius and the pleats are logarithmic spirals, on the cloth
 * as in the plan. Near the middle m falls to 1: what is pinched lies flat. Each pleat is then laid as a knife
 * pleat across its spiral. */
#include "setup/twist.h"

#include <math.h>

#include "base/alloc.h"
#include "setup/creases.h"
#include "setup/pleat.h"

/* name, value, unit, source */
static const double pi = 3.14159265358979323846;
static const double pinch_m = 0.05;           /* m, radius within which the pleats begin; estimate */
static const double row_m = 0.0005;           /* m, rows of the table; resolution only */
static const double first_m = 0.002;          /* m, nearer to the middle no pleat has a direction; resolution only */

typedef struct spiral_row {
    double rho_m, theta;           /* place in the plan: radius, angle turned */
    double layers;                 /* m */
    double along[2];               /* unit vector along the pleat in the plan: outward, round */
    double lean;                   /* angle of the pleat on the cloth to the radius */
    double phase;                  /* angle on the cloth by which a pleat has gone round */
} spiral_row;

static double smooth_step(double t)
{
    t = fmax(0.0, fmin(1.0, t));
    return t * t * (3.0 - 2.0 * t);
}

/* Row i from the sums up to it. */
static void fill_row(double most_layers, int i, double rho2, double theta, double phase, spiral_row *row, double slope[2])
{
    double r = fmax(i * row_m, first_m), m = 1.0 + (most_layers - 1.0) * smooth_step(r / pinch_m);
    double rho = sqrt(rho2), a = i > 0 ? rho / r : 1.0, d = 1.0 / (m * a);
    if (rho <= 0.0 || i * row_m < first_m)
        a = d = 1.0;
    double b = sqrt(fmax(0.0, 1.0 + 1.0 / (m * m) - d * d - a * a)), left = fmax(0.0, 1.0 - d * d - b * b);
    double lean = b > 1e-6 ? atan2(left, a * b) : pi / 4.0;
    double out = d * cos(lean), round = b * cos(lean) + a * sin(lean), length = hypot(out, round);
    *row = (spiral_row){.rho_m = rho, .theta = theta, .layers = m, .along = {out / length, round / length},
                        .lean = lean, .phase = phase};
    slope[0] = rho > first_m / 2.0 ? b / rho : 0.0;
    slope[1] = i * row_m < first_m ? 0.0 : tan(lean) / r;
}

static void fill_table(double most_layers, int n, spiral_row *rows)
{
    double rho2 = 0.0, theta = 0.0, phase = 0.0, slope[2];
    for (int i = 0; i < n; i++) {
        fill_row(most_layers, i, rho2, theta, phase, &rows[i], slope);
        double middle_m = (i + 0.5) * row_m, m = 1.0 + (most_layers - 1.0) * smooth_step(middle_m / pinch_m);
        rho2 += 2.0 * middle_m / m * row_m;
        theta += slope[0] * row_m;
        phase += slope[1] * row_m;
    }
}

static double mix(double a, double b, double t)
{
    return a + t * (b - a);
}

static spiral_row row_at(const spiral_row *rows, int n, double r_m)
{
    double at = fmin(r_m / row_m, n - 1.001), t = at - floor(at);
    const spiral_row *a = &rows[(int)at], *b = a + 1;
    return (spiral_row){.rho_m = mix(a->rho_m, b->rho_m, t),
                        .theta = mix(a->theta, b->theta, t),
                        .layers = mix(a->layers, b->layers, t),
                        .along = {mix(a->along[0], b->along[0], t), mix(a->along[1], b->along[1], t)},
                        .lean = mix(a->lean, b->lean, t),
                        .phase = mix(a->phase, b->phase, t)};
}

typedef struct twist {
    const spiral_row *rows;
    int n, arms;
    double x_m, y_m, way;          /* middle; 1 as seen, -1 mirrored */
    double low_m, rise_m, gap_m;   /* the bundle so far: lowest cell, height, spacing in the pleats */
} twist;

static void twist_cell(const twist *t, thaw_bundle *b, size_t k)
{
    double x = b->x_m[k] - t->x_m, y = t->way * (b->y_m[k] - t->y_m), r = hypot(x, y), phi = atan2(y, x);
    spiral_row row = row_at(t->rows, t->n, r);
    double arm = t->arms * (phi - row.phase) / (2.0 * pi), share = arm - floor(arm);
    double cloth_m = fmax(1e-6, 2.0 * pi * r * cos(row.lean) / t->arms), plan_m = cloth_m / row.layers;
    thaw_pleat pleat = thaw_pleat_of(share * cloth_m, cloth_m, plan_m);
    double off_m = pleat.along - share * plan_m - thaw_pleat_bias(cloth_m, plan_m), turned = phi + row.theta, c = cos(turned), s = sin(turned);
    double out = row.rho_m - off_m * row.along[1], round = off_m * row.along[0];
    double height = b->z_m[k] - t->low_m;
    b->x_m[k] = t->x_m + out * c - round * s;
    b->y_m[k] = t->y_m + t->way * (out * s + round * c);
    b->z_m[k] = pleat.layers * t->gap_m + (pleat.back ? t->rise_m - height : height);
}

thaw_status thaw_twist_cells(const thaw_fold *fold, double gap_m, thaw_bundle *bundle, thaw_error *err)
{
    thaw_plan_box box = thaw_plan_box_of(bundle);
    double low = bundle->z_m[0], high = low;
    for (size_t k = 1; k < bundle->n; k++) {
        low = fmin(low, bundle->z_m[k]);
        high = fmax(high, bundle->z_m[k]);
    }
    int n = (int)(0.5 * hypot(box.x1 - box.x0, box.y1 - box.y0) / row_m) + 8;
    spiral_row *rows = thaw_allocate((size_t)n, sizeof *rows, err);
    if (!rows)
        return THAW_ERR_MEMORY;
    fill_table(1.0 / fold->share, n, rows);
    twist t = {.rows = rows, .n = n, .arms = fold->arms, .x_m = 0.5 * (box.x0 + box.x1), .y_m = 0.5 * (box.y0 + box.y1),
               .way = fold->turn == THAW_TURN_RIGHT ? 1.0 : -1.0, .low_m = low, .rise_m = high - low,
               .gap_m = gap_m + high - low};
    for (size_t k = 0; k < bundle->n; k++)
        twist_cell(&t, bundle, k);
    thaw_release(rows);
    return THAW_OK;
}
