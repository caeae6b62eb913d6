/* Numbers in plain words: for the screen and for pages. Each writes to `out` and returns it. */
#ifndef THAWPRINT_SAY_H
#define THAWPRINT_SAY_H

#include <stddef.h>

/* To the minute: "3 h 05 min"; "unknown" where the time is not finite. */
const char *thaw_say_duration(double t_s, char *out, size_t size);
/* No finer than the doubt allows: 10 minutes, half hours, hours, beyond three days half days. Infinite: "after the
 * rinse"; NaN: "unknown". */
const char *thaw_say_about(double t_s, char *out, size_t size);
/* Plain word for a colour by its place in CIE L*a*b*, of the list of colours or of its family: "pale turquoise". */
const char *thaw_say_colour(const double lab[3], char *out, size_t size);

#endif
