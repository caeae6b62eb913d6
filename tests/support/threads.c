/* Loaded before the program (LD_PRELOAD): threads of C11 made as those of POSIX, since clang's thread sanitizer knows no
 * others and takes a thread that it has not seen begin for a fault of its own. */
#include <pthread.h>
#include <stdint.h>
#include <stdlib.h>
#include <threads.h>

typedef struct start {
    thrd_start_t work;
    void *user;
} start;

static void *begin(void *given)
{
    const start s = *(start *)given;
    free(given);
    return (void *)(intptr_t)s.work(s.user);
}

int thrd_create(thrd_t *thread, thrd_start_t work, void *user)
{
    start *s = malloc(sizeof *s);
    if (!s) {
        return thrd_nomem;
    }
    *s = (start){work, user};
    if (pthread_create(thread, NULL, begin, s) != 0) {
        free(s);
        return thrd_error;
    }
    return thrd_success;
}

int thrd_join(thrd_t thread, int *result)
{
    void *given = NULL;
    if (pthread_join(thread, &given) != 0) {
        return thrd_error;
    }
    if (result) {
        *result = (int)(intptr_t)given;
    }
    return thrd_success;
}
