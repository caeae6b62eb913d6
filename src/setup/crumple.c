/* A sheet that cannot stretch can lie, wrinkled, in any plan in which no way is longer than on the cloth. So the plan is
 * found first, flat and with constraints on lengths alone, and then the sheet is led there and takes up what is too much
 * by rising from the table. */
#include "setup/crumple.h"

#include <math.h>

enum { SAMPLES = 12 };

/* name, value, unit, source */
static const double blur_m = 0.015;           /* m to each side: hands gather no sharper; estimate */
static const double slackness = 0.03;         /* how much flat cloth resists lying closer than it is long; estimate */

static double amount_at(const thaw_mask *mask, double u, double v)
{
    const int x = (int)fmin(fmax(u, 0.0) * mask->width, mask->width - 1.0);
    const int y = (int)fmin(fmax(v, 0.0) * mask->height, mask->height - 1.0);
    return mask->amount[(size_t)y * (size_t)mask->width + (size_t)x] / 255.0;
}

void thaw_crumple_darken(const thaw_mask *mask, const thaw_sheet *sheet, double *dark)
{
    const double width_m = sheet->hx_m * (sheet->nx - 1), length_m = sheet->hy_m * (sheet->ny - 1);
#pragma omp parallel for schedule(static) default(none) shared(mask, sheet, dark, width_m, length_m, blur_m)
    for (int j = 0; j < sheet->ny; j++)
        for (int i = 0; i < sheet->nx; i++) {
            double sum = 0.0;
            for (int b = 0; b < SAMPLES; b++)
                for (int a = 0; a < SAMPLES; a++) {
                    const double x = i * sheet->hx_m + blur_m * ((2.0 * a + 1.0) / SAMPLES - 1.0);
                    const double y = j * sheet->hy_m + blur_m * ((2.0 * b + 1.0) / SAMPLES - 1.0);
                    sum += amount_at(mask, x / width_m, y / length_m);
                }
            dark[(size_t)j * (size_t)sheet->nx + (size_t)i] = sum / (SAMPLES * SAMPLES);
        }
}

/* In every direction alike, so by the root of the area's share. */
static void hold(const double *dark, double log_to, thaw_sheet *s, size_t k, size_t q, double rest_m)
{
    double *a = s->p + 3 * k, *b = s->p + 3 * q;
    const double d = 0.5 * (dark[k] + dark[q]), wanted = rest_m * exp(0.5 * d * log_to);
    const double dx = b[0] - a[0], dy = b[1] - a[1], length = hypot(dx, dy);
    const double stiffness = length > wanted ? 1.0 : slackness + (1.0 - slackness) * d;
    const double move = length > 0.0 ? 0.5 * stiffness * (length - wanted) / length : 0.0;
    a[0] += move * dx;
    a[1] += move * dy;
    b[0] -= move * dx;
    b[1] -= move * dy;
}

void thaw_crumple_plan(const double *dark, double to, double progress, int sweeps, thaw_sheet *plan)
{
    const double log_to = progress * log(to), slant_m = hypot(plan->hx_m, plan->hy_m);
    const int nx = plan->nx, ny = plan->ny;
    for (int sweep = 0; sweep < sweeps; sweep++)
        for (int row = 0; row < ny; row++)
            for (int column = 0; column < nx; column++) { /* to and fro, so that no corner is favoured */
                const int i = sweep % 2 ? nx - 1 - column : column, j = sweep % 2 ? ny - 1 - row : row;
                const size_t k = (size_t)j * (size_t)nx + (size_t)i;
                if (i + 1 < nx)
                    hold(dark, log_to, plan, k, k + 1, plan->hx_m);
                if (j + 1 < ny)
                    hold(dark, log_to, plan, k, k + (size_t)nx, plan->hy_m);
                if (i + 1 < nx && j + 1 < ny)
                    hold(dark, log_to, plan, k, k + (size_t)nx + 1, slant_m);
                if (i > 0 && j + 1 < ny)
                    hold(dark, log_to, plan, k, k + (size_t)nx - 1, slant_m);
            }
}

void thaw_crumple_push(const thaw_sheet *plan, double share, thaw_sheet *sheet)
{
    const size_t n = (size_t)sheet->nx * (size_t)sheet->ny;
    for (size_t k = 0; k < n; k++) {
        for (size_t c = 0; c < 2; c++)
            sheet->push[3 * k + c] = share * (plan->p[3 * k + c] - sheet->p[3 * k + c]);
        sheet->push[3 * k + 2] = 0.0;
    }
}
