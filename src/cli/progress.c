#define _POSIX_C_SOURCE 200809L

#include "progress.h"

#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#define FIRST_S   0.5
#define BETWEEN_S (1.0 / 6.0)

/* A signal handler can reach nothing else. */
static volatile sig_atomic_t stop_asked;

static void ask_to_stop(int number)
{
    (void)number;
    stop_asked = 1;
}

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

void progress_begin(progress *p, bool quiet)
{
    struct sigaction action;
    memset(&action, 0, sizeof action);
    action.sa_handler = ask_to_stop;
    sigemptyset(&action.sa_mask);
    sigaction(SIGINT, &action, NULL);
    sigaction(SIGTERM, &action, NULL);
    *p = (progress){.shown_at_all = !quiet && isatty(STDERR_FILENO), .began_s = now_s()};
}

bool progress_stopped(void)
{
    return stop_asked != 0;
}

static void write_left(double left_s, char *out, size_t size)
{
    if (left_s < 90.0) {
        snprintf(out, size, "%.0f s left", left_s);
    } else {
        snprintf(out, size, "%.0f min left", left_s / 60.0);
    }
}

bool progress_report(void *user, const char *phase, double share, double simulated_h)
{
    progress *p = user;
    double t_s = now_s();
    if (p->shown_at_all && t_s - p->began_s >= FIRST_S && t_s - p->last_s >= BETWEEN_S) {
        char left[32] = "";
        if (share > 0.01 && share <= 1.0) {
            write_left((t_s - p->began_s) * (1.0 - share) / share, left, sizeof left);
        }
        fprintf(stderr, "\r\033[K%3.0f %%  %s, %.1f h simulated  %s", share * 100.0, phase,
                simulated_h, left);
        fflush(stderr);
        p->last_s = t_s;
        p->on_screen = true;
    }
    return !progress_stopped();
}

void progress_end(progress *p)
{
    if (p->on_screen) {
        fprintf(stderr, "\r\033[K");
        fflush(stderr);
        p->on_screen = false;
    }
}
