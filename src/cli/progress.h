/* A line on the terminal while a run goes on, and Ctrl-C. */
#ifndef THAW_CLI_PROGRESS_H
#define THAW_CLI_PROGRESS_H

#include <stdbool.h>

typedef struct progress {
    bool shown_at_all; /* stderr is a terminal */
    bool on_screen;    /* a line is there to be erased */
    double began_s, last_s;
} progress;

/* `quiet`: no line. From here on Ctrl-C no longer ends the program but is asked for. */
void progress_begin(progress *p, bool quiet);
/* For thaw_preview_options: `user` is a progress. False once Ctrl-C was pressed. */
bool progress_report(void *user, const char *phase, double share, double simulated_h);
void progress_end(progress *p);

/* Was Ctrl-C pressed? */
bool progress_stopped(void);

#endif
