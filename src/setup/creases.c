/* All four fold the cloth into a shape with straight sides: a strip, a wedge, a triangle. What still sticks
 * out is turned over one side after the other until nothing does. Creases made by hand wander. */
#include "setup/creases.h"

#include <math.h>
#include <stdbool.h>

#include "base/alloc.h"
#include "base/random.h"
#include "setup/reflect.h"
#include "setup/spline.h"

enum { MOST_SIDES = 4, MOST_TURNS = 1000 };

static const double pi = 3.14159265358979323846;

/* name, value, unit, source */
static const double crease_lattice_m = 0.10;  /* m, gives a correlation of 10-20 cm; estimate */
static const double crease_step_m = 0.005;    /* m, rows of the crease table; resolution only */
static const double crease_limit = 0.125;     /* waviness / pleat width, above it creases would cross; computed */
static const double pinned_m = 0.08;          /* m from where creases meet to where they wander freely; estimate */
static const double most_sigma = 2.5;         /* a crease wanders no more than so many times the rms; estimate */
static const uint64_t numbers_per_crease = UINT64_C(1) << 20;

/* Sides of the shape in the order in which the cloth is turned over them, again and again. */
typedef struct shape {
    int n_sides, turns;            /* turns at most */
    thaw_crease sides[MOST_SIDES];
} shape;

/* How far crease i = 0 .. n_creases - 1 strays, every crease_step_m along it. */
typedef struct strays {
    int n_creases, n_rows;
    double from_m;                 /* along the crease, from its point, to the first row */
    double *stray_m;               /* own, n_creases x n_rows; NULL where none strays */
} strays;

thaw_plan_box thaw_plan_box_of(const thaw_bundle *b)
{
    const double half = 0.5 * b->cell_m;
    thaw_plan_box box = {b->x_m[0], b->y_m[0], b->x_m[0], b->y_m[0]};
    for (size_t k = 1; k < b->n; k++) {
        box.x0 = fmin(box.x0, b->x_m[k]);
        box.y0 = fmin(box.y0, b->y_m[k]);
        box.x1 = fmax(box.x1, b->x_m[k]);
        box.y1 = fmax(box.y1, b->y_m[k]);
    }
    return (thaw_plan_box){box.x0 - half, box.y0 - half, box.x1 + half, box.y1 + half};
}

static thaw_crease side_of(double x_m, double y_m, double nx, double ny)
{
    double length = hypot(nx, ny);
    return (thaw_crease){.x_m = x_m, .y_m = y_m, .nx = nx / length, .ny = ny / length};
}

/* A line from a point at an angle from x towards y, cloth beyond it on the side of growing angles. */
static thaw_crease ray_of(double x_m, double y_m, double angle, bool growing)
{
    double sign = growing ? 1.0 : -1.0;
    return side_of(x_m, y_m, -sign * sin(angle), sign * cos(angle));
}

static double wander(const thaw_hands *hands, int crease, double t_m)
{
    double value = thaw_spline_noise(hands->seed, THAW_STREAM_FOLD,
                                     hands->first + (uint64_t)crease * numbers_per_crease, t_m / crease_lattice_m);
    return fmax(-most_sigma, fmin(most_sigma, value));
}

static thaw_status make_strays(int n_creases, double from_m, double reach_m, strays *out, thaw_error *err)
{
    strays s = {.n_creases = n_creases, .n_rows = (int)ceil(reach_m / crease_step_m) + 2, .from_m = from_m};
    s.stray_m = thaw_allocate((size_t)n_creases * (size_t)s.n_rows, sizeof(double), err);
    if (!s.stray_m)
        return THAW_ERR_MEMORY;
    *out = s;
    return THAW_OK;
}

/* Each crease wanders on its own; those that meet in their points do not wander there. */
static thaw_status wander_each(const thaw_hands *hands, const thaw_bundle *b, int n_creases, bool meet, strays *out,
                               thaw_error *err)
{
    if (!(hands->fold->waviness_m > 0.0))
        return THAW_OK;
    thaw_plan_box box = thaw_plan_box_of(b);
    double reach_m = hypot(box.x1 - box.x0, box.y1 - box.y0);
    thaw_status status = make_strays(n_creases, -reach_m, 2.0 * reach_m, out, err);
    for (int i = 0; status == THAW_OK && i < n_creases; i++)
        for (int row = 0; row < out->n_rows; row++) {
            double free = meet ? fmin(1.0, fabs(out->from_m + row * crease_step_m) / pinned_m) : 1.0;
            out->stray_m[(size_t)i * (size_t)out->n_rows + (size_t)row] =
                free * hands->fold->waviness_m * wander(hands, i, row * crease_step_m);
        }
    return status;
}

/* Until nothing sticks out of the shape. */
static thaw_status fold_into(thaw_reflect *r, const shape *to, const strays *astray, thaw_error *err)
{
    size_t moved = 1;
    thaw_status status = THAW_OK;
    for (int i = 0; i < to->turns && moved > 0 && status == THAW_OK; i++) {
        thaw_crease crease = to->sides[i % to->n_sides];
        if (astray->stray_m) {
            crease.stray_m = astray->stray_m + (size_t)(i % astray->n_creases) * (size_t)astray->n_rows;
            crease.n_stray = astray->n_rows;
            crease.stray_from_m = astray->from_m;
            crease.stray_step_m = crease_step_m;
        }
        status = thaw_reflect_turn(r, &crease, &moved, err);
    }
    if (status == THAW_OK)
        status = thaw_reflect_finish(r, err);
    return status;
}

static thaw_status fold_shape(const thaw_hands *hands, const shape *to, const strays *astray, thaw_bundle *b,
                              thaw_error *err)
{
    thaw_reflect r = {0};
    thaw_status status = thaw_reflect_create(b, hands->gap_m, &r, err);
    if (status == THAW_OK)
        status = fold_into(&r, to, astray, err);
    thaw_reflect_destroy(&r);
    return status;
}

/* Row `row` of all creases of an accordion. Hands lay each edge roughly over the last, so it is the edges of
 * the stack that wander; the pleat widths follow, less their common excess so that they add up to the cloth
 * there is. plan: scratch of pleats + 1. */
static void fill_pleat_row(const thaw_hands *hands, double pleat_m, int row, double *plan, strays *out)
{
    const int pleats = out->n_creases + 1;
    double excess = 0.0, amplitude = fmin(hands->fold->waviness_m, crease_limit * pleat_m);
    for (int i = 0; i <= pleats; i++) {
        plan[i] = (i % 2) * pleat_m + amplitude * wander(hands, i, row * crease_step_m);
        if (i > 0)
            excess += (fabs(plan[i] - plan[i - 1]) - pleat_m) / pleats;
    }
    double at = 0.0, last = plan[0];
    for (int i = 1; i < pleats; i++) {
        double sign = i % 2 ? 1.0 : -1.0;
        at += sign * (fabs(plan[i] - last) - excess);
        last = plan[i];
        out->stray_m[(size_t)(i - 1) * (size_t)out->n_rows + (size_t)row] = sign * (at - (i % 2) * pleat_m);
    }
}

static thaw_status wander_pleats(const thaw_hands *hands, double pleat_m, double from_m, double breadth_m,
                                 strays *out, thaw_error *err)
{
    const int pleats = hands->fold->pleats;
    double *plan = thaw_allocate((size_t)pleats + 1, sizeof *plan, err);
    thaw_status status = plan ? make_strays(pleats - 1, from_m, breadth_m, out, err) : THAW_ERR_MEMORY;
    for (int row = 0; status == THAW_OK && row < out->n_rows; row++)
        fill_pleat_row(hands, pleat_m, row, plan, out);
    thaw_release(plan);
    return status;
}

thaw_status thaw_creases_accordion(const thaw_hands *hands, thaw_bundle *bundle, thaw_error *err)
{
    const thaw_fold *fold = hands->fold;
    const bool across = fold->along == THAW_ALONG_WIDTH;
    thaw_plan_box box = thaw_plan_box_of(bundle);
    double depth_m = across ? box.x1 - box.x0 : box.y1 - box.y0;
    double breadth_m = across ? box.y1 - box.y0 : box.x1 - box.x0, pleat_m = depth_m / fold->pleats;
    shape to = {.n_sides = 2, .turns = fold->pleats - 1};
    /* The normal points along the cloth, so the way along the crease runs with y, or against x. */
    double nx = across ? 1.0 : 0.0, ny = across ? 0.0 : 1.0;
    double x0 = box.x0, y0 = box.y0;
    to.sides[0] = side_of(x0 + nx * pleat_m, y0 + ny * pleat_m, nx, ny);
    to.sides[1] = side_of(x0, y0, -nx, -ny);
    strays astray = {0};
    thaw_status status = THAW_OK;
    if (fold->waviness_m > 0.0)
        status = wander_pleats(hands, pleat_m, 0.0, breadth_m, &astray, err);
    if (status == THAW_OK)
        status = fold_shape(hands, &to, &astray, bundle, err);
    thaw_release(astray.stray_m);
    return status;
}

/* Pleats between two lines from a point: a wedge of the angle, beginning at `start`. */
static shape wedge_of(double x_m, double y_m, double start, double angle, int pleats)
{
    shape to = {.n_sides = 2, .turns = pleats - 1};
    to.sides[0] = ray_of(x_m, y_m, start + angle, true);
    to.sides[1] = ray_of(x_m, y_m, start, false);
    return to;
}

thaw_status thaw_creases_fan(const thaw_hands *hands, thaw_bundle *bundle, thaw_error *err)
{
    /* Place in the box, and where the cloth begins and how far it goes round that place, quarter turns. */
    static const struct {
        double x, y, start, span;
    } points[] = {
        [THAW_POINT_TOP_LEFT] = {0.0, 0.0, 0.0, 1.0},     [THAW_POINT_TOP_RIGHT] = {1.0, 0.0, 1.0, 1.0},
        [THAW_POINT_BOTTOM_RIGHT] = {1.0, 1.0, 2.0, 1.0}, [THAW_POINT_BOTTOM_LEFT] = {0.0, 1.0, 3.0, 1.0},
        [THAW_POINT_TOP] = {0.5, 0.0, 0.0, 2.0},          [THAW_POINT_RIGHT] = {1.0, 0.5, 1.0, 2.0},
        [THAW_POINT_BOTTOM] = {0.5, 1.0, 2.0, 2.0},       [THAW_POINT_LEFT] = {0.0, 0.5, 3.0, 2.0},
    };
    const int pleats = hands->fold->pleats, at = (int)hands->fold->point;
    thaw_plan_box box = thaw_plan_box_of(bundle);
    double x = box.x0 + points[at].x * (box.x1 - box.x0), y = box.y0 + points[at].y * (box.y1 - box.y0);
    shape to = wedge_of(x, y, 0.5 * pi * points[at].start, 0.5 * pi * points[at].span / pleats, pleats);
    strays astray = {0};
    thaw_status status = wander_each(hands, bundle, pleats, true, &astray, err);
    if (status == THAW_OK)
        status = fold_shape(hands, &to, &astray, bundle, err);
    thaw_release(astray.stray_m);
    return status;
}

/* In half across the middle, then the half disc is pleated into wedges: round the middle the cloth goes to and
 * fro with a period of 1 / order of a full turn. */
thaw_status thaw_creases_radial(const thaw_hands *hands, thaw_bundle *bundle, thaw_error *err)
{
    const int order = hands->fold->order;
    thaw_plan_box box = thaw_plan_box_of(bundle);
    double x = 0.5 * (box.x0 + box.x1), y = 0.5 * (box.y0 + box.y1);
    shape half = {.n_sides = 1, .turns = 1, .sides = {side_of(x, y, 0.0, 1.0)}};
    shape to = wedge_of(x, y, pi, pi / order, order);
    strays astray = {0}, one = {0};
    thaw_reflect r = {0};
    thaw_status status = wander_each(hands, bundle, order + 1, true, &astray, err);
    if (status == THAW_OK)
        status = thaw_reflect_create(bundle, hands->gap_m, &r, err);
    if (astray.stray_m) { /* the last row of the table is the first crease */
        one = astray;
        one.stray_m = astray.stray_m + (size_t)order * (size_t)astray.n_rows;
    }
    if (status == THAW_OK)
        status = fold_into(&r, &half, &one, err);
    if (status == THAW_OK)
        status = fold_into(&r, &to, &astray, err);
    thaw_reflect_destroy(&r);
    thaw_release(astray.stray_m);
    return status;
}

/* A strip from (0, 0) along u, as broad as v is long (v at a right angle to u), folded to and fro. Right: half of
 * the first square; the strip leaves over the diagonal, a short side, the diagonal, the other short side.
 * Equal: the strip leaves over one side after the other. */
static shape triangle_of(thaw_triangle_shape kind, const double p[2], const double u[2], const double v[2])
{
    const double breadth = hypot(v[0], v[1]), side = 2.0 * breadth / sqrt(3.0);
    shape to = {.turns = MOST_TURNS};
    if (kind == THAW_TRIANGLE_RIGHT) {
        thaw_crease diagonal = side_of(p[0], p[1], u[0] - v[0] / breadth, u[1] - v[1] / breadth);
        thaw_crease far = side_of(p[0] + v[0], p[1] + v[1], v[0], v[1]), near = side_of(p[0], p[1], -u[0], -u[1]);
        to.n_sides = 4;
        to.sides[0] = to.sides[2] = diagonal;
        to.sides[1] = far;
        to.sides[3] = near;
        return to;
    }
    const double lean = 0.5 * side, ex = u[0], ey = u[1]; /* corners p, p + side u, p + lean u + v */
    to.n_sides = 3;
    to.sides[0] = side_of(p[0] + side * ex, p[1] + side * ey, breadth * ex + lean * v[0] / breadth,
                          breadth * ey + lean * v[1] / breadth);
    to.sides[1] = side_of(p[0], p[1], -v[0], -v[1]);
    to.sides[2] = side_of(p[0], p[1], -breadth * ex + lean * v[0] / breadth, -breadth * ey + lean * v[1] / breadth);
    return to;
}

/* The scrap before the first slanting side of an equal triangle is folded in first. */
static thaw_status fold_scrap_in(thaw_reflect *r, const shape *to, thaw_error *err)
{
    shape scrap = {.n_sides = 1, .turns = 1, .sides = {to->sides[2]}};
    return fold_into(r, &scrap, &(strays){0}, err);
}

thaw_status thaw_creases_triangle(const thaw_hands *hands, thaw_bundle *bundle, thaw_error *err)
{
    const bool across = hands->fold->along == THAW_ALONG_WIDTH;
    thaw_plan_box box = thaw_plan_box_of(bundle);
    double breadth_m = across ? box.y1 - box.y0 : box.x1 - box.x0;
    double length_m = across ? box.x1 - box.x0 : box.y1 - box.y0;
    const double p[2] = {box.x0, box.y0}, u[2] = {across ? 1.0 : 0.0, across ? 0.0 : 1.0};
    const double v[2] = {across ? 0.0 : breadth_m, across ? breadth_m : 0.0};
    shape to = triangle_of(hands->fold->shape, p, u, v);
    int n_creases = (int)fmin(MOST_TURNS, 2.0 * length_m / breadth_m + 4.0);
    strays astray = {0};
    thaw_reflect r = {0};
    thaw_status status = wander_each(hands, bundle, n_creases, false, &astray, err);
    if (status == THAW_OK)
        status = thaw_reflect_create(bundle, hands->gap_m, &r, err);
    if (status == THAW_OK && hands->fold->shape == THAW_TRIANGLE_EQUAL)
        status = fold_scrap_in(&r, &to, err);
    if (status == THAW_OK)
        status = fold_into(&r, &to, &astray, err);
    thaw_reflect_destroy(&r);
    thaw_release(astray.stray_m);
    return status;
}
