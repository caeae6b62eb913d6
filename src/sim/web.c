#include "sim/web.h"

#include <math.h>
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"

/* Fewer links than this are not worth waking a second thread. */
#define FEW_LINKS 20000

/* Count links and sort them into rounds. arrived: scratch of n. */
static thaw_status list_links(thaw_web *web, int32_t *arrived, thaw_error *err)
{
    for (size_t k = 0; web->below && k < web->n; k++) {
        web->n_links += web->below[k] >= 0;
    }
    web->from = thaw_allocate((size_t)web->n_links, sizeof(int32_t), err);
    web->to = thaw_allocate((size_t)web->n_links, sizeof(int32_t), err);
    web->round_from = thaw_allocate((size_t)web->n_links, sizeof(int32_t), err);
    web->round_to = thaw_allocate((size_t)web->n_links, sizeof(int32_t), err);
    web->above_start = thaw_allocate(web->n + 2, sizeof(int32_t), err);
    web->above = thaw_allocate((size_t)web->n_links, sizeof(int32_t), err);
    if (!web->from || !web->to || !web->round_from || !web->round_to || !web->above_start || !web->above) {
        return THAW_ERR_MEMORY;
    }
    int32_t l = 0;
    for (size_t k = 0; web->n_links && k < web->n; k++) {
        if (web->below[k] >= 0) {
            web->from[l] = (int32_t)k;
            web->to[l++] = web->below[k];
            int32_t r = arrived[web->below[k]]++;
            if (r >= THAW_WEB_ROUNDS) {
                return thaw_fail(err, THAW_ERR_UNPHYSICAL, "more than %d cells rest on one cell", THAW_WEB_ROUNDS);
            }
            web->round_start[r + 1]++;
            web->n_rounds = r + 1 > web->n_rounds ? r + 1 : web->n_rounds;
        }
    }
    for (int32_t r = 0; r < THAW_WEB_ROUNDS; r++) {
        web->round_start[r + 1] += web->round_start[r];
    }
    int32_t next[THAW_WEB_ROUNDS];
    memcpy(next, web->round_start, sizeof next);
    memset(arrived, 0, web->n * sizeof *arrived);
    for (l = 0; l < web->n_links; l++) {
        int32_t k = web->from[l], b = web->below[k], at = next[arrived[b]++]++;
        web->round_from[at] = k;
        web->round_to[at] = b;
        web->above_start[b + 2]++;
    }
    for (size_t k = 0; k < web->n; k++) {
        web->above_start[k + 2] += web->above_start[k + 1];
    }
    for (l = 0; l < web->n_links; l++) {
        web->above[web->above_start[web->below[web->from[l]] + 1]++] = web->from[l];
    }
    return THAW_OK;
}

static thaw_status list_above(thaw_web *web, thaw_error *err)
{
    int32_t *arrived = thaw_allocate(web->n, sizeof *arrived, err);
    thaw_status status = arrived ? list_links(web, arrived, err) : THAW_ERR_MEMORY;
    thaw_release(arrived);
    return status;
}

void thaw_web_receive(const thaw_web *web, const double *restrict fl, double *restrict out)
{
    for (int32_t r = 0; r < web->n_rounds; r++) {
#pragma omp parallel for schedule(static) if (web->round_start[r + 1] - web->round_start[r] > FEW_LINKS)
        for (int32_t l = web->round_start[r]; l < web->round_start[r + 1]; l++) {
            out[web->round_to[l]] += fl[web->round_from[l]];
        }
    }
}

static void set_rises(thaw_web *web, const double *z_m)
{
    const size_t nx = (size_t)web->nx;
    for (size_t k = 0; z_m && k < web->n; k++) {
        web->zx[k] = (k + 1) % nx ? (z_m[k] - z_m[k + 1]) / web->head_m : 0.0;
        web->zy[k] = k + nx < web->n ? (z_m[k] - z_m[k + nx]) / web->head_m : 0.0;
        if (web->below && web->below[k] >= 0) {
            web->zl[k] = (z_m[k] - z_m[web->below[k]]) / web->head_m;
        }
    }
}

thaw_status thaw_web_create(int nx, int ny, double head_m, const int32_t *below, const double *z_m,
                            thaw_web *out, thaw_error *err)
{
    thaw_web web = {.nx = nx, .ny = ny, .n = (size_t)nx * (size_t)ny, .head_m = head_m, .below = below};
    thaw_status status = THAW_ERR_MEMORY;
    double **arrays[] = {&web.gx, &web.gy, &web.gl, &web.zx, &web.zy, &web.zl, &web.full};
    for (size_t a = 0; a < sizeof arrays / sizeof *arrays; a++) {
        *arrays[a] = thaw_allocate(web.n, sizeof(double), err);
        if (!*arrays[a]) {
            goto fail;
        }
    }
    status = list_above(&web, err);
    if (status != THAW_OK) {
        goto fail;
    }
    if (!(web.onto = thaw_allocate(web.n, sizeof(int32_t), err))) {
        status = THAW_ERR_MEMORY;
        goto fail;
    }
    set_rises(&web, z_m);
    for (size_t k = 0; k < web.n; k++) {
        web.onto[k] = below && below[k] >= 0 ? below[k] : (int32_t)k;
        web.full[k] = 1.0;
    }
    *out = web;
    return THAW_OK;
fail:
    thaw_web_destroy(&web);
    return status;
}

void thaw_web_destroy(thaw_web *web)
{
    thaw_release(web->gx);
    thaw_release(web->gy);
    thaw_release(web->gl);
    thaw_release(web->zx);
    thaw_release(web->zy);
    thaw_release(web->zl);
    thaw_release(web->full);
    thaw_release(web->onto);
    thaw_release(web->from);
    thaw_release(web->to);
    thaw_release(web->round_from);
    thaw_release(web->round_to);
    thaw_release(web->above_start);
    thaw_release(web->above);
    *web = (thaw_web){0};
}

/* Secant conductivity; where both ends are alike the mean of the ends is its limit. */
static inline double secant(double ua, double ub, double pa, double pb, double ka, double kb)
{
    double dp = pb - pa;
    double mean = 0.5 * (ka + kb);
    return fabs(dp) > 1e-7 ? (ua - ub) / dp : mean;
}

void thaw_web_flux(const thaw_web *web, const double *restrict s, const double *restrict u, const double *restrict p,
                   const double *restrict k, double *restrict fx, double *restrict fy,
                   double *restrict fl)
{
    const size_t nx = (size_t)web->nx, n = web->n;
#pragma omp parallel for schedule(static)
    for (size_t j = 0; j < (size_t)web->ny; j++) {
        const size_t row = j * nx;
        for (size_t c = row; c + 1 < row + nx; c++) {
            double kab = secant(u[c], u[c + 1], p[c], p[c + 1], k[c], k[c + 1]);
            fx[c] = web->gx[c] * ((u[c] - u[c + 1]) + kab * web->zx[c]);
        }
        fx[row + nx - 1] = 0.0;
        for (size_t c = row; c < row + nx; c++) {
            if (c + nx < n) {
                double kab = secant(u[c], u[c + nx], p[c], p[c + nx], k[c], k[c + nx]);
                fy[c] = web->gy[c] * ((u[c] - u[c + nx]) + kab * web->zy[c]);
            } else {
                fy[c] = 0.0;
            }
        }
        for (size_t c = row; c < row + nx; c++) {
            const double over = s[c] - web->full[c], v = web->volume_m ? web->volume_m[c] : 0.0;
            fl[c] = web->spill_per_s * (v * thaw_web_excess(over) + thaw_web_deep_m(v * over));
        }
    }
#pragma omp parallel for schedule(static) if (web->n_links > FEW_LINKS)
    for (int32_t l = 0; l < web->n_links; l++) {
        const int32_t a = web->from[l], b = web->to[l];
        const double kab = secant(u[a], u[b], p[a], p[b], k[a], k[b]);
        fl[a] += web->gl[a] * ((u[a] - u[b]) + kab * web->zl[a]);
    }
}

void thaw_web_gather(const thaw_web *web, const double *restrict fx, const double *restrict fy,
                     const double *restrict fl, const double *restrict source, double *restrict out)
{
    const size_t nx = (size_t)web->nx;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += nx) {
        double *restrict sum = out + row;
        for (size_t i = 0; i < nx; i++) {
            sum[i] = (source ? source[row + i] : 0.0) - fx[row + i] - fy[row + i] - fl[row + i];
        }
        for (size_t i = 1; i < nx; i++) {
            sum[i] += fx[row + i - 1];
        }
        for (size_t i = 0; row && i < nx; i++) {
            sum[i] += fy[row - nx + i];
        }
    }
    thaw_web_receive(web, fl, out);
}

static void linear_row(const thaw_web *web, const thaw_web_slope *slope, double scale, double keep, size_t row,
                       const double *restrict y, double *restrict fx, double *restrict fy, double *restrict fl)
{
    const size_t nx = (size_t)web->nx;
    const double *restrict m = slope->lean;
    for (size_t c = row; c + 1 < row + nx; c++) {
        double lean = web->zx[c] * (m[c] * y[c] + m[c + 1] * y[c + 1]);
        fx[c] = keep * fx[c] + scale * web->gx[c] * ((y[c] - y[c + 1]) + lean);
    }
    fx[row + nx - 1] *= keep;
    if (row + nx < web->n) {
        for (size_t c = row; c < row + nx; c++) {
            double lean = web->zy[c] * (m[c] * y[c] + m[c + nx] * y[c + nx]);
            fy[c] = keep * fy[c] + scale * web->gy[c] * ((y[c] - y[c + nx]) + lean);
        }
    } else {
        for (size_t c = row; c < row + nx; c++) {
            fy[c] *= keep;
        }
    }
    for (size_t c = row; c < row + nx; c++) {
        fl[c] = keep * fl[c] + scale * slope->spill[c] * y[c];
    }
}

void thaw_web_linear_flux(const thaw_web *web, const thaw_web_slope *slope, double scale, int add,
                          const double *restrict y, double *restrict fx, double *restrict fy, double *restrict fl)
{
    const size_t nx = (size_t)web->nx;
    const double keep = add ? 1.0 : 0.0;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += nx) {
        linear_row(web, slope, scale, keep, row, y, fx, fy, fl);
    }
    const double *restrict m = slope->lean;
#pragma omp parallel for schedule(static) if (web->n_links > FEW_LINKS)
    for (int32_t l = 0; l < web->n_links; l++) {
        const int32_t a = web->from[l], b = web->to[l];
        fl[a] += scale * web->gl[a] * ((y[a] - y[b]) + web->zl[a] * (m[a] * y[a] + m[b] * y[b]));
    }
}

static inline double higher(double a, double b)
{
    return a > b ? a : b;
}

static void lift_row(const thaw_web *web, size_t row, const double *restrict s, double *restrict most)
{
    const size_t nx = (size_t)web->nx;
    const double *restrict here = s + row;
    const double *restrict upper = row ? here - nx : here, *restrict lower = row + nx < web->n ? here + nx : here;
    for (size_t i = 0; i < nx; i++) {
        most[i] = higher(here[i], higher(upper[i], lower[i]));
    }
    for (size_t i = 0; i + 1 < nx; i++) {
        most[i] = higher(most[i], here[i + 1]);
    }
    for (size_t i = 1; i < nx; i++) {
        most[i] = higher(most[i], here[i - 1]);
    }
}

void thaw_web_lift(const thaw_web *web, const double *restrict s, double *restrict out)
{
    const size_t nx = (size_t)web->nx;
#pragma omp parallel for schedule(static)
    for (size_t row = 0; row < web->n; row += nx) {
        lift_row(web, row, s, out + row);
    }
    /* Serial: a maximum does not depend on the order, and there are few links. */
    for (int32_t l = 0; l < web->n_links; l++) {
        const int32_t a = web->from[l], b = web->to[l];
        out[a] = higher(out[a], s[b]);
        out[b] = higher(out[b], s[a]);
    }
#pragma omp parallel for schedule(static)
    for (size_t k = 0; k < web->n; k++) {
        out[k] = 0.5 * (s[k] + out[k]);
    }
}
