/* The wicking strip test: a strip of dry cloth hangs with its lower end in free water, and how high the
 * water has climbed is read from time to time. Two figures of the cloth decide the rise once lambda is
 * chosen: K_s / phi and h_e. With
 *   tau = t K_s / (phi h_e),   Z = z / h_e
 * all strips of one lambda follow one curve Z(tau), which the water step (sim/wick.h) computes once.
 * No evaporation, no film: a free film on a hanging strip runs off and does not climb. */
#ifndef THAW_STUDY_STRIP_RISE_H
#define THAW_STUDY_STRIP_RISE_H

#include <stddef.h>

#include "thawprint/status.h"

/* The edge that the eye sees. Estimate. */
#define THAW_STRIP_VISIBLE 0.1

/* The curve runs over tau = 0.01 .. 1000, twelve points a decade; beyond, its end slopes go on. */
#define THAW_STRIP_POINTS 61

/* Natural logarithms, evenly spaced in tau. A value: owns nothing. */
typedef struct thaw_strip_curve {
    double lambda;
    double log_tau[THAW_STRIP_POINTS];
    double log_front[THAW_STRIP_POINTS];  /* Z where s falls below THAW_STRIP_VISIBLE */
    double log_uptake[THAW_STRIP_POINTS]; /* water taken up / (phi h_e), as a height */
} thaw_strip_curve;

typedef struct thaw_strip_cloth {
    double speed_m_s;              /* K_s / phi */
    double head_m;                 /* h_e, for wetting */
} thaw_strip_cloth;

typedef struct thaw_strip_reading {
    double t_s, height_m;
    double doubt_m;                /* one standard deviation of the height */
} thaw_strip_reading;

typedef struct thaw_strip_estimate {
    thaw_strip_cloth cloth;
    /* Standard errors of the natural logarithms, so 0.1 is about 10 %. From the readings' doubts, and
     * wider by as much as the readings scatter more than that. */
    double log_speed_error, log_head_error;
    double correlation;            /* of the two; near -1, for their product is known best */
    double rms_m;                  /* root mean square of reading minus fit */
} thaw_strip_estimate;

/* Compute the curve of one lambda (0.4 .. 3), a few seconds. THAW_ERR_ARGUMENT, THAW_ERR_MEMORY, or
 * THAW_ERR_UNPHYSICAL where a step does not converge; *out untouched on failure. */
thaw_status thaw_strip_curve_compute(double lambda, thaw_strip_curve *out, thaw_error *err);

/* Height of the front at n times (s, above 0) into height_m (n). THAW_ERR_ARGUMENT for times or a cloth that
 * are not above 0; height_m untouched then. */
thaw_status thaw_strip_rise(const thaw_strip_curve *curve, const thaw_strip_cloth *cloth, size_t n, const double *t_s,
                            double *height_m, thaw_error *err);

/* The same for one time, from the logarithms; *slope: d ln Z / d ln tau there. */
double thaw_strip_height(const thaw_strip_curve *curve, double log_speed, double log_head, double t_s, double *slope);

/* K_s / phi and h_e from at least two readings, by weighted least squares (Levenberg 1944, Marquardt
 * 1963) in the logarithms of both. THAW_ERR_ARGUMENT for fewer readings or values that are not above 0;
 * THAW_ERR_SCENARIO where the readings do not tell the two apart, as when all were taken while gravity
 * did not count yet. *out untouched on failure. */
thaw_status thaw_strip_fit(const thaw_strip_curve *curve, size_t n, const thaw_strip_reading *readings,
                           thaw_strip_estimate *out, thaw_error *err);

#endif
