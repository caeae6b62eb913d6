#include "look/straighten.h"

#include <math.h>
#include <stddef.h>

#include "base/alloc.h"
#include "base/error.h"
#include "look/colour.h"

#define LEAST_SIDE   16.0          /* pixels of the photograph along a side of the cloth */
#define POINTS       2.0           /* samples per pixel along each way of a patch */
#define MOST_POINTS  96
#define SHARP_POINTS 25            /* patches up to some 2 x 2 pixels */
#define KEPT         0.8125        /* integral of 1 - 3 t2 + 2 t3 over half a cell either way */
#define PATCH_SHARE  0.004         /* radius of the white patch / longer side of the picture */
#define PATCH_LEAST  2.0
#define DARKEST      0.04          /* linear light; below, a factor would multiply noise */
#define BURNT        254           /* a byte that says no more than "at least" */
#define BURNT_SHARE  0.05

thaw_corners thaw_corners_of(const thaw_picture *picture)
{
    const double w = picture->width, h = picture->height;
    return (thaw_corners){{{0.0, 0.0}, {w, 0.0}, {w, h}, {0.0, h}}};
}

static double turn_at(const thaw_corners *c, int i)
{
    const double *a = c->at[(i + 3) % 4], *b = c->at[i], *d = c->at[(i + 1) % 4];
    return (b[0] - a[0]) * (d[1] - b[1]) - (b[1] - a[1]) * (d[0] - b[0]);
}

thaw_status thaw_corners_check(const thaw_corners *corners, const thaw_picture *picture, thaw_error *err)
{
    int right = 0, left = 0;
    for (int i = 0; i < 4; i++) {
        const double *a = corners->at[i], *b = corners->at[(i + 1) % 4];
        if (!(a[0] >= 0.0 && a[0] <= picture->width && a[1] >= 0.0 && a[1] <= picture->height)) {
            return thaw_fail(err, THAW_ERR_ARGUMENT, "--corners: %g,%g lies outside the photograph, which is %d x %d pixels", a[0],
                             a[1], picture->width, picture->height);
        }
        if (!(hypot(b[0] - a[0], b[1] - a[1]) >= LEAST_SIDE)) {
            return thaw_fail(err, THAW_ERR_ARGUMENT, "--corners: %g,%g and %g,%g are nearer than %.0f pixels", a[0], a[1], b[0], b[1],
                             LEAST_SIDE);
        }
        right += turn_at(corners, i) > LEAST_SIDE;
        left += turn_at(corners, i) < -LEAST_SIDE;
    }
    if (left == 4) {
        return thaw_fail(err, THAW_ERR_ARGUMENT,
                         "--corners: these go round the wrong way, which would show the cloth as in a mirror: "
                         "top left, top right, bottom right, bottom left");
    }
    if (right != 4) {
        return thaw_fail(err, THAW_ERR_ARGUMENT,
                         "--corners: these four do not make a sheet of cloth: give them in the order top left, top right, "
                         "bottom right, bottom left");
    }
    return THAW_OK;
}

/* x = (a u + b v + c) / (g u + h v + 1), y likewise, for u, v in the unit square (Heckbert 1989). */
typedef struct homography {
    double a, b, c, d, e, f, g, h;
} homography;

static homography find_homography(const thaw_corners *k)
{
    const double (*p)[2] = k->at;
    const double sx = p[0][0] - p[1][0] + p[2][0] - p[3][0], sy = p[0][1] - p[1][1] + p[2][1] - p[3][1];
    const double dx1 = p[1][0] - p[2][0], dx2 = p[3][0] - p[2][0], dy1 = p[1][1] - p[2][1], dy2 = p[3][1] - p[2][1];
    const double det = dx1 * dy2 - dx2 * dy1;
    homography m = {.g = (sx * dy2 - dx2 * sy) / det, .h = (dx1 * sy - sx * dy1) / det};
    m.a = p[1][0] - p[0][0] + m.g * p[1][0];
    m.b = p[3][0] - p[0][0] + m.h * p[3][0];
    m.c = p[0][0];
    m.d = p[1][1] - p[0][1] + m.g * p[1][1];
    m.e = p[3][1] - p[0][1] + m.h * p[3][1];
    m.f = p[0][1];
    return m;
}

static void place(const homography *m, double u, double v, double *x, double *y)
{
    const double w = m->g * u + m->h * v + 1.0;
    *x = (m->a * u + m->b * v + m->c) / w;
    *y = (m->d * u + m->e * v + m->f) / w;
}

typedef struct light {
    double of[256];                /* linear light of a byte */
} light;

static void fill_light(light *l)
{
    for (int i = 0; i < 256; i++) {
        l->of[i] = thaw_colour_decode(i / 255.0);
    }
}

/* Linear light at a place of the picture, between the middles of its pixels. */
static void sample(const thaw_picture *p, const light *l, double x, double y, double rgb[3])
{
    const double fx = fmin(fmax(x - 0.5, 0.0), p->width - 1.0), fy = fmin(fmax(y - 0.5, 0.0), p->height - 1.0);
    const int i = (int)fx, j = (int)fy;
    const int i1 = i + 1 < p->width ? i + 1 : i, j1 = j + 1 < p->height ? j + 1 : j;
    const double tx = fx - i, ty = fy - j;
    const uint8_t *row0 = p->rgba + 4 * (size_t)j * (size_t)p->width, *row1 = p->rgba + 4 * (size_t)j1 * (size_t)p->width;
    for (int c = 0; c < 3; c++) {
        const double top = (1.0 - tx) * l->of[row0[4 * i + c]] + tx * l->of[row0[4 * i1 + c]];
        const double low = (1.0 - tx) * l->of[row1[4 * i + c]] + tx * l->of[row1[4 * i1 + c]];
        rgb[c] = (1.0 - ty) * top + ty * low;
    }
}

/* Catmull and Rom's cubic, which takes nothing off what two pixels show: for patches hardly larger than a pixel. */
static void cubic_weights(double t, double w[4])
{
    w[0] = -0.5 * t * (1.0 - t) * (1.0 - t);
    w[1] = 1.0 + t * t * (1.5 * t - 2.5);
    w[2] = t * (0.5 + t * (2.0 - 1.5 * t));
    w[3] = -0.5 * t * t * (1.0 - t);
}

static int within(int i, int n)
{
    return i < 0 ? 0 : i >= n ? n - 1 : i;
}

static void sample_sharp(const thaw_picture *p, const light *l, double x, double y, double rgb[3])
{
    const int i = (int)floor(x - 0.5), j = (int)floor(y - 0.5);
    double wx[4], wy[4];
    cubic_weights(x - 0.5 - i, wx);
    cubic_weights(y - 0.5 - j, wy);
    rgb[0] = rgb[1] = rgb[2] = 0.0;
    for (int r = 0; r < 4; r++) {
        const uint8_t *row = p->rgba + 4 * (size_t)within(j - 1 + r, p->height) * (size_t)p->width;
        for (int q = 0; q < 4; q++) {
            const uint8_t *pixel = row + 4 * within(i - 1 + q, p->width);
            for (int c = 0; c < 3; c++) {
                rgb[c] += wy[r] * wx[q] * l->of[pixel[c]];
            }
        }
    }
}

static int points_over(double ax, double ay, double bx, double by)
{
    return (int)fmin(MOST_POINTS, fmax(1.0, ceil(POINTS * hypot(bx - ax, by - ay))));
}

/* Mean over the patch that the cell u0 .. u1, v0 .. v1 covers. */
static void mean_over(const thaw_picture *p, const light *l, const homography *m, const double u[2], const double v[2], double rgb[3])
{
    double x[3], y[3], sum[3] = {0.0, 0.0, 0.0};
    place(m, u[0], v[0], &x[0], &y[0]);
    place(m, u[1], v[0], &x[1], &y[1]);
    place(m, u[0], v[1], &x[2], &y[2]);
    const int nu = points_over(x[0], y[0], x[1], y[1]), nv = points_over(x[0], y[0], x[2], y[2]);
    for (int j = 0; j < nv; j++) {
        for (int i = 0; i < nu; i++) {
            double sx, sy, at[3];
            place(m, u[0] + (u[1] - u[0]) * (i + 0.5) / nu, v[0] + (v[1] - v[0]) * (j + 0.5) / nv, &sx, &sy);
            (nu * nv <= SHARP_POINTS ? sample_sharp : sample)(p, l, sx, sy, at);
            for (int c = 0; c < 3; c++) {
                sum[c] += at[c];
            }
        }
    }
    for (int c = 0; c < 3; c++) {
        rgb[c] = fmax(0.0, sum[c] / ((double)nu * nv));
    }
}

thaw_status thaw_straighten(const thaw_picture *picture, const thaw_corners *corners, const double factors[3], int nx, int ny,
                            double *xyz, thaw_error *err)
{
    light *l = thaw_allocate(1, sizeof *l, err);
    if (!l) {
        return THAW_ERR_MEMORY;
    }
    const homography m = find_homography(corners);
    const size_t n = (size_t)nx * (size_t)ny;
    fill_light(l);
#pragma omp parallel for schedule(static) default(none) shared(picture, factors, nx, ny, xyz, l, m, n)
    for (int j = 0; j < ny; j++) {
        for (int i = 0; i < nx; i++) {
            const double u[2] = {(double)i / nx, (i + 1.0) / nx}, v[2] = {(double)j / ny, (j + 1.0) / ny};
            double rgb[3], at[3];
            mean_over(picture, l, &m, u, v, rgb);
            for (int c = 0; c < 3; c++) {
                rgb[c] *= factors[c];
            }
            thaw_colour_xyz(rgb, at);
            for (size_t c = 0; c < 3; c++) {
                xyz[c * n + (size_t)j * (size_t)nx + (size_t)i] = at[c];
            }
        }
    }
    thaw_release(l);
    return THAW_OK;
}

/* One line of n values, `step` apart: solves kept y[i] + shared (y[i-1] + y[i+1]) = x[i]; the ends repeat. ahead: n. */
static void sharpen_line(double *x, size_t step, int n, double *ahead)
{
    const double shared = 0.5 * (1.0 - KEPT);
    double *first = x;
    for (int i = 0; i < n; i++) {
        double *at = first + (size_t)i * step;
        const double own = KEPT + (i == 0 ? shared : 0.0) + (i == n - 1 ? shared : 0.0);
        const double pivot = own - (i > 0 ? shared * ahead[i - 1] : 0.0);
        ahead[i] = shared / pivot;
        *at = (*at - (i > 0 ? shared * at[-(ptrdiff_t)step] : 0.0)) / pivot;
    }
    for (int i = n - 2; i >= 0; i--) {
        double *at = first + (size_t)i * step;
        *at -= ahead[i] * at[step];
    }
}

thaw_status thaw_straighten_sharpen(double *planes, int nx, int ny, thaw_error *err)
{
    const size_t n = (size_t)nx * (size_t)ny;
    double *ahead = thaw_allocate((size_t)(nx > ny ? nx : ny), sizeof *ahead, err);
    if (!ahead) {
        return THAW_ERR_MEMORY;
    }
    for (size_t c = 0; c < 3; c++) {
        for (int j = 0; j < ny; j++) {
            sharpen_line(planes + c * n + (size_t)j * (size_t)nx, 1, nx, ahead);
        }
        for (int i = 0; i < nx; i++) {
            sharpen_line(planes + c * n + (size_t)i, (size_t)nx, ny, ahead);
        }
    }
    for (size_t k = 0; k < 3 * n; k++) {
        planes[k] = fmax(0.0, planes[k]);
    }
    thaw_release(ahead);
    return THAW_OK;
}

thaw_status thaw_balance_find(const thaw_picture *picture, double x, double y, const double white[3], double factors[3],
                              thaw_error *err)
{
    const double longer = picture->width > picture->height ? picture->width : picture->height;
    const double radius = fmax(PATCH_LEAST, PATCH_SHARE * longer);
    if (!(x >= 0.0 && x < picture->width && y >= 0.0 && y < picture->height)) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "--white-at: %g,%g lies outside the photograph, which is %d x %d pixels", x, y,
                         picture->width, picture->height);
    }
    double sum[3] = {0.0, 0.0, 0.0};
    int count = 0, burnt = 0;
    for (int j = (int)fmax(0.0, y - radius); j < picture->height && j <= y + radius; j++) {
        for (int i = (int)fmax(0.0, x - radius); i < picture->width && i <= x + radius; i++) {
            const uint8_t *p = picture->rgba + 4 * ((size_t)j * (size_t)picture->width + (size_t)i);
            burnt += p[0] >= BURNT || p[1] >= BURNT || p[2] >= BURNT;
            count++;
            for (int c = 0; c < 3; c++) {
                sum[c] += thaw_colour_decode(p[c] / 255.0);
            }
        }
    }
    if (burnt > BURNT_SHARE * count) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "--white-at: the photograph is burnt out at %g,%g, so its colour is lost there; "
                         "take one with less light", x, y);
    }
    for (int c = 0; c < 3; c++) {
        if (sum[c] / count < DARKEST) {
            return thaw_fail(err, THAW_ERR_ARGUMENT, "--white-at: nothing white is at %g,%g: it is rgb %.0f %.0f %.0f there", x, y,
                             255.0 * thaw_colour_encode(sum[0] / count), 255.0 * thaw_colour_encode(sum[1] / count),
                             255.0 * thaw_colour_encode(sum[2] / count));
        }
    }
    for (int c = 0; c < 3; c++) {
        factors[c] = white[c] * count / sum[c];
    }
    return THAW_OK;
}
