/* Hands gather cloth from coarse to fine: large ridges first, then tucks, then creases. At each
 * fineness several pushes squeeze the sheet along one direction after the other, unevenly, while
 * fingers pick up spots of cloth; a hand from above presses the heap. The squeeze still wanted is
 * measured before each push. */
#include "setup/scrunch.h"

#include <math.h>
#include <string.h>

#include "base/alloc.h"
#include "base/random.h"
#include "setup/crumple.h"
#include "setup/scrunch_sheet.h"

enum { LEVELS = 3, MAX_SPOTS = 160, MAX_CORRECTIONS = 6, MIN_INTERVALS = 3, CORRECTION_STEPS = 10, EASING_STEPS = 10,
       PLAN_SWEEPS = 150 };

static const double pi = 3.14159265358979323846;

/* name, value, unit, source: all estimates, tuned by eye on crumpled cloth */
static const double fine_spacing_m = 0.009;   /* m, below it damp cotton hardly bends twice */
static const double max_fine_nodes = 24000.0; /* bounds the time for very large cloths */
static const double layer_spacing = 0.7;      /* distance kept between layers / node spacing */
static const double heap_looseness = 1.6;     /* pressed height of each layer beyond the first / layer distance */
static const double settling_press = 0.6;   /* hand height while a heap settles / while it is gathered */
static const double least_layers = 2.5;       /* a lone tuck is three layers, half pressed */
static const double lead_share = 0.1;         /* of the way to its plan that a node is led in a step */
static const double area_tolerance = 0.03;    /* of the wanted plan area */

/* One fineness of gathering. All figures are estimates, tuned by eye on crumpled cloth. */
typedef struct level {
    int pushes;                    /* 0: more of them the tighter the scrunch */
    int steps, settle;             /* steps in a push; steps at rest after the last */
    double progress;               /* share of the whole squeeze (in logarithm) done at its end */
    double wave_low_m, wave_high_m; /* distance between the bands that are gathered */
    double spot_m, lift;           /* radius of a spot that fingers pick up; height / radius */
    double spot_area_m2;           /* sheet area for each spot and push */
    double roughness;              /* random heights that start it off / node spacing */
    double gravity_m, bending, grip;
    double loose;                  /* height of the pressing hand / that of the finished heap */
    double drag_m;                 /* way that this hand slides in a push */
} level;

static const level levels[LEVELS] = {
    {.pushes = 0, .steps = 40, .settle = 20, .progress = 0.80, .wave_low_m = 0.25, .wave_high_m = 0.45,
     .spot_m = 0.080, .lift = 0.8, .spot_area_m2 = 0.040, .roughness = 0.05,
     .gravity_m = 0.00015, .bending = 0.10, .grip = 0.25, .loose = 4.0, .drag_m = 0.02},
    {.pushes = 5, .steps = 24, .settle = 24, .progress = 0.96, .wave_low_m = 0.12, .wave_high_m = 0.25,
     .spot_m = 0.045, .lift = 0.5, .spot_area_m2 = 0.025, .roughness = 0.03,
     .gravity_m = 0.00010, .bending = 0.10, .grip = 0.20, .loose = 2.0, .drag_m = 0.04},
    {.pushes = 3, .steps = 16, .settle = 24, .progress = 1.00, .wave_low_m = 0.08, .wave_high_m = 0.15,
     .spot_m = 0.025, .lift = 0.4, .spot_area_m2 = 0.015, .roughness = 0.02,
     .gravity_m = 0.00010, .bending = 0.15, .grip = 0.20, .loose = 1.0, .drag_m = 0.03},
};

typedef struct hands {
    const thaw_scrunch *scrunch;
    thaw_sheet sheet;
    double flat_area_m2, thickness_m; /* of the incoming bundle as a sheet */
    double fine_spacing_m;
    double *dark;                  /* own: of the mask at each node; NULL without one */
    thaw_sheet plan;               /* own, with a mask: where the hands lead each node */
    uint64_t drawn;
} hands;

static double draw(hands *h, double low, double high)
{
    double u = thaw_random_uniform(h->scrunch->seed, THAW_STREAM_FOLD, h->scrunch->first + h->drawn++);
    return low + (high - low) * u;
}

static double area_ratio(const hands *h)
{
    return thaw_sheet_plan_area(&h->sheet) / h->flat_area_m2;
}

static void middle_of(const thaw_sheet *s, double out[2])
{
    size_t n = (size_t)s->nx * (size_t)s->ny;
    out[0] = out[1] = 0.0;
    for (size_t k = 0; k < n; k++) {
        out[0] += s->p[3 * k] / (double)n;
        out[1] += s->p[3 * k + 1] / (double)n;
    }
}

/* Integral of 3/2 cos t + cos 2t + 1/2 cos 3t, which with 1 is a Fejer kernel: never negative, four
 * times the mean in a band a quarter of the wave wide, about nothing between. */
static double bands(double t)
{
    return 1.5 * sin(t) + 0.5 * sin(2.0 * t) + sin(3.0 * t) / 6.0;
}

/* Displacement u(s) = (factor - 1) (s + a L / 2 pi sin(2 pi s / L + ...)): monotone for a < 1, so
 * it squeezes everywhere, but here more and there less. */
static void plan_squeeze(hands *h, const level *l, double angle, double factor, int steps)
{
    thaw_sheet *s = &h->sheet;
    double middle[2], c = cos(angle), d = sin(angle);
    double wave = 2.0 * pi / draw(h, l->wave_low_m, l->wave_high_m), cross = 2.0 * pi / draw(h, 0.20, 0.50);
    double phase = draw(h, 0.0, 2.0 * pi), cross_phase = draw(h, 0.0, 2.0 * pi), bend = draw(h, 0.6, 1.6);
    middle_of(s, middle);
    for (size_t k = 0; k < (size_t)s->nx * (size_t)s->ny; k++) {
        double x = s->p[3 * k] - middle[0], y = s->p[3 * k + 1] - middle[1];
        double along = c * x + d * y, across = c * y - d * x;
        double uneven = bands(wave * along + phase + bend * sin(cross * across + cross_phase)) / wave;
        double move = (factor - 1.0) * (along + uneven) / steps;
        s->push[3 * k] = c * move;
        s->push[3 * k + 1] = d * move;
        s->push[3 * k + 2] = 0.0;
    }
}

/* Fingers reach under the cloth at places of the sheet and pick them up. */
static void plan_lifts(hands *h, const level *l, int steps)
{
    thaw_sheet *s = &h->sheet;
    double spots[MAX_SPOTS][3];
    int n_spots = (int)fmin(MAX_SPOTS, 1.0 + h->flat_area_m2 / l->spot_area_m2 + draw(h, 0.0, 1.0));
    for (int i = 0; i < n_spots; i++) {
        spots[i][0] = draw(h, 0.0, s->nx - 1) * s->hx_m;
        spots[i][1] = draw(h, 0.0, s->ny - 1) * s->hy_m;
        spots[i][2] = l->spot_m * draw(h, 0.6, 1.5);
    }
    for (int i = 0; i < n_spots; i++) {
        double r = spots[i][2], height = l->lift * r * draw(h, 0.3, 1.0) / steps;
        int reach_x = (int)(2.0 * r / s->hx_m) + 1, reach_y = (int)(2.0 * r / s->hy_m) + 1;
        int ci = (int)(spots[i][0] / s->hx_m), cj = (int)(spots[i][1] / s->hy_m);
        for (int y = cj - reach_y; y <= cj + reach_y; y++)
            for (int x = ci - reach_x; x <= ci + reach_x; x++) {
                if (x < 0 || y < 0 || x >= s->nx || y >= s->ny)
                    continue;
                double du = x * s->hx_m - spots[i][0], dv = y * s->hy_m - spots[i][1];
                size_t k = (size_t)y * (size_t)s->nx + (size_t)x;
                s->push[3 * k + 2] += height * exp(-(du * du + dv * dv) / (r * r)) * (h->dark ? h->dark[k] : 1.0);
            }
    }
}

/* A hand rests on the heap and slides a little: what stands up is laid over into tucks. */
static thaw_sheet_step press(hands *h, const level *l, int steps, double ratio)
{
    double layer_m = layer_spacing * h->fine_spacing_m, direction = draw(h, 0.0, 2.0 * pi);
    double layers = fmax(least_layers, 1.0 + heap_looseness * (1.0 / ratio - 1.0));
    return (thaw_sheet_step){.keep = 0.9,
                             .gravity_m = l->gravity_m,
                             .plate_m = l->loose * layer_m * layers,
                             .drag_m = {l->drag_m / steps * cos(direction), l->drag_m / steps * sin(direction)},
                             .bending = l->bending,
                             .grip = l->grip,
                             .sweeps = 1};
}

static void advance(hands *h, const thaw_sheet_step *step, int steps)
{
    for (int i = 0; i < steps; i++)
        thaw_sheet_advance(&h->sheet, step);
}

/* Hands off: the cloth slides where its lengths draw it, lower and slower. */
static void settle(hands *h, const level *l, int steps, double press_share, int sweeps)
{
    memset(h->sheet.push, 0, 3 * (size_t)h->sheet.nx * (size_t)h->sheet.ny * sizeof(double));
    thaw_sheet_step step = press(h, l, steps, h->scrunch->share);
    step.keep = 0.7;
    step.grip = 0.0;
    step.plate_m *= press_share;
    step.sweeps = sweeps;
    advance(h, &step, steps);
}

static double bounded(double x, double low, double high)
{
    return x < low ? low : x > high ? high : x;
}

/* A perfectly flat sheet would not know which way to buckle. */
static void roughen(hands *h, const level *l)
{
    for (int k = 0; k < h->sheet.nx * h->sheet.ny; k++)
        h->sheet.p[3 * k + 2] += draw(h, 0.0, l->roughness * h->sheet.hx_m);
}

static int pushes_of(const hands *h, const level *l)
{
    return l->pushes > 0 ? l->pushes : 2 - (int)round(4.0 * log(h->scrunch->share));
}

/* As gather, by the mask: the hands lead the cloth to where the plan has it, a little further with each push. */
static void gather_by_mask(hands *h, const level *l, double from)
{
    const int pushes = pushes_of(h, l);
    thaw_crumple_darken(h->scrunch->mask, &h->sheet, h->dark);
    roughen(h, l);
    for (int i = 0; i < pushes; i++) {
        const double progress = from + (l->progress - from) * (i + 1) / pushes;
        thaw_crumple_plan(h->dark, h->scrunch->share, progress, PLAN_SWEEPS, &h->plan);
        thaw_sheet_step step = press(h, l, l->steps, pow(h->scrunch->share, progress));
        step.sweeps = 2; /* what is gathered drags on what is not */
        for (int s = 0; s < l->steps; s++) {
            thaw_crumple_push(&h->plan, lead_share, &h->sheet);
            if (s < l->steps / 2)
                plan_lifts(h, l, l->steps / 2);
            thaw_sheet_advance(&h->sheet, &step);
        }
    }
    settle(h, l, l->settle, settling_press, 2);
}

static void gather(hands *h, const level *l, double angle)
{
    double target = pow(h->scrunch->share, l->progress);
    int pushes = pushes_of(h, l);
    roughen(h, l);
    for (int i = 0; i < pushes; i++) {
        double ratio = area_ratio(h), factor = bounded(pow(target / ratio, 1.0 / (pushes - i)), 0.7, 1.05);
        plan_squeeze(h, l, angle + i * 0.618034 * pi, factor, l->steps);
        plan_lifts(h, l, l->steps);
        thaw_sheet_step step = press(h, l, l->steps, fmax(target, ratio * factor));
        advance(h, &step, l->steps);
    }
    settle(h, l, l->settle, settling_press, 1);
}

/* Settling spreads the heap a little: squeeze gently until the area holds. */
static void correct(hands *h, double angle)
{
    const level *l = &levels[LEVELS - 1];
    for (int i = 0; i < MAX_CORRECTIONS; i++) {
        double ratio = area_ratio(h);
        if (fabs(ratio / h->scrunch->share - 1.0) < area_tolerance)
            return;
        plan_squeeze(h, l, angle + i * 0.5 * pi, bounded(h->scrunch->share / ratio, 0.85, 1.15), CORRECTION_STEPS);
        thaw_sheet_step step = press(h, l, CORRECTION_STEPS, h->scrunch->share);
        advance(h, &step, CORRECTION_STEPS);
        settle(h, l, CORRECTION_STEPS / 2, 1.0, 2);
    }
}

static void set_radius(hands *h)
{
    h->sheet.radius_m = fmax(h->thickness_m, layer_spacing * fmin(h->sheet.hx_m, h->sheet.hy_m));
}

/* Round the folds off between the nodes and give lengths the last word. */
static void ease(hands *h)
{
    thaw_sheet_refine(&h->sheet);
    set_radius(h);
    thaw_sheet_step step = {.keep = 0.5, .plate_m = HUGE_VAL, .bending = 0.15, .sweeps = 2};
    memset(h->sheet.push, 0, 3 * (size_t)h->sheet.nx * (size_t)h->sheet.ny * sizeof(double));
    advance(h, &step, EASING_STEPS);
}

static void crumple_by_mask(hands *h)
{
    for (int i = 0; i < LEVELS; i++) {
        if (i > 0) {
            thaw_sheet_refine(&h->sheet);
            thaw_sheet_refine(&h->plan);
        }
        set_radius(h);
        gather_by_mask(h, &levels[i], i > 0 ? levels[i - 1].progress : 0.0);
    }
    ease(h);
}

static void crumple(hands *h)
{
    double angle = draw(h, 0.0, pi);
    for (int i = 0; i < LEVELS; i++) {
        if (i > 0)
            thaw_sheet_refine(&h->sheet);
        set_radius(h);
        gather(h, &levels[i], angle + i);
    }
    correct(h, draw(h, 0.0, pi));
    ease(h);
}

typedef struct box {
    double low[3], high[3];
} box;

static box box_of(const thaw_bundle *b)
{
    const double *values[3] = {b->x_m, b->y_m, b->z_m};
    box out;
    for (int c = 0; c < 3; c++) {
        out.low[c] = out.high[c] = values[c][0];
        for (size_t k = 1; k < b->n; k++) {
            out.low[c] = fmin(out.low[c], values[c][k]);
            out.high[c] = fmax(out.high[c], values[c][k]);
        }
    }
    for (int c = 0; c < 2; c++) {
        out.low[c] -= 0.5 * b->cell_m;
        out.high[c] += 0.5 * b->cell_m;
    }
    return out;
}

/* Each cell keeps its place within the incoming bundle, now along the normal of the sheet. */
static void place_cells(const thaw_sheet *sheet, const box *in, thaw_bundle *b)
{
    double step_x = (in->high[0] - in->low[0]) / (sheet->nx - 1), step_y = (in->high[1] - in->low[1]) / (sheet->ny - 1);
    double middle = 0.5 * (in->low[2] + in->high[2]);
#pragma omp parallel for schedule(static) default(none) shared(sheet, in, b, step_x, step_y, middle)
    for (size_t k = 0; k < b->n; k++) {
        double place[3], normal[3], height = b->z_m[k] - middle;
        thaw_sheet_at(sheet, (b->x_m[k] - in->low[0]) / step_x, (b->y_m[k] - in->low[1]) / step_y, place, normal);
        b->x_m[k] = place[0] + height * normal[0];
        b->y_m[k] = place[1] + height * normal[1];
        b->z_m[k] = place[2] + height * normal[2];
    }
}

thaw_status thaw_scrunch_cells(const thaw_scrunch *scrunch, thaw_bundle *bundle, thaw_error *err)
{
    box in = box_of(bundle);
    double width_m = in.high[0] - in.low[0], length_m = in.high[1] - in.low[1];
    hands h = {.scrunch = scrunch,
               .flat_area_m2 = width_m * length_m,
               .thickness_m = in.high[2] - in.low[2] + scrunch->thickness_m};
    h.fine_spacing_m = fmax(fine_spacing_m, sqrt(h.flat_area_m2 / max_fine_nodes));
    h.fine_spacing_m = fmax(h.fine_spacing_m, h.thickness_m); /* a thick bundle makes wider folds */
    double spacing = 4.0 * h.fine_spacing_m;
    int nx = 1 + (int)fmax(MIN_INTERVALS, round(width_m / spacing));
    int ny = 1 + (int)fmax(MIN_INTERVALS, round(length_m / spacing));
    thaw_status status = thaw_sheet_create(width_m, length_m, nx, ny, &h.sheet, err);
    if (status != THAW_OK)
        return status;
    if (scrunch->mask) {
        status = thaw_sheet_create(width_m, length_m, nx, ny, &h.plan, err);
        if (status == THAW_OK && !(h.dark = thaw_allocate(h.sheet.n_max, sizeof *h.dark, err)))
            status = THAW_ERR_MEMORY;
    }
    if (status == THAW_OK) {
        if (h.dark)
            crumple_by_mask(&h);
        else
            crumple(&h);
        place_cells(&h.sheet, &in, bundle);
    }
    thaw_release(h.dark);
    thaw_sheet_destroy(&h.plan);
    thaw_sheet_destroy(&h.sheet);
    return status;
}
