/* A program built on the installed library. */
#include <stdio.h>
#include <thawprint/thawprint.h>

int main(void)
{
    thaw_error err = {0};
    thaw_scenario *demo = NULL;
    if (thaw_scenario_demo(&demo, &err) != THAW_OK) {
        return fprintf(stderr, "%s\n", err.text), 1;
    }
    printf("%s: %s\n", thaw_version(), thaw_scenario_title(demo));
    thaw_scenario_destroy(demo);
    return 0;
}
