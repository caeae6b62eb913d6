/* What the shapes of an SVG drawing trace: curves as fine polygons, at real size. */
#ifndef THAW_SCENARIO_SVG_PATH_H
#define THAW_SCENARIO_SVG_PATH_H

#include <stdbool.h>
#include <stddef.h>

#include "thawprint/status.h"

#define THAW_SVG_FLAT_M  1e-4      /* a curve is nowhere farther from its polygon: a tenth of a millimetre */
#define THAW_SVG_CORNERS 20000     /* of one shape */
#define THAW_SVG_PARTS   256

typedef struct thaw_trace {
    double to_m[6];                /* from the units of the shape, as in SVG: x' = a x + c y + e, y' = b x + d y + f */
    int n, room;
    double (*at)[2];               /* own, m */
    int n_parts;
    struct {
        int first;
        bool closed;
    } parts[THAW_SVG_PARTS];
    double here[2], start[2];      /* in the units of the shape */
    bool too_long, starved;
} thaw_trace;

void thaw_trace_release(thaw_trace *trace);

/* Each returns false with a reason in `why` where the text is no such thing; what was traced until then stays. */
bool thaw_svg_path(const char *d, thaw_trace *trace, char *why, size_t why_size);
bool thaw_svg_points(const char *points, bool closed, thaw_trace *trace, char *why, size_t why_size);
void thaw_svg_ellipse(const double centre[2], const double radius[2], thaw_trace *trace);
void thaw_svg_rect(const double corner[2], const double size[2], const double round[2], thaw_trace *trace);

/* The next number at *text and past the commas and spaces behind it; false if there is none. */
bool thaw_svg_number(const char **text, double *value);
/* "mm", "cm", "in", "px" ... behind the number, in metres; of a bare number and of px 1/96 in. False if unknown. */
bool thaw_svg_unit(const char *unit, double *metres);
/* A transform attribute, multiplied onto m from the right. */
bool thaw_svg_transform(const char *text, double m[6], char *why, size_t why_size);

#endif
