#include "exit_code.hpp"
#include "verbs.hpp"

#include <slotwitness/log/log.hpp>

#include <cstdio>
#include <exception>
#include <sys/resource.h>
#include <variant>

namespace slotwitness::program {

namespace {

/// Which verb takes which options.
struct Run {
    int operator()(const ServeOptions& options) const { return serve(options); }
    int operator()(const LookOptions& options) const { return look(options); }
    int operator()(const AskOptions& options) const { return ask(options); }
    int operator()(const ReadOptions& options) const { return read(options); }
    int operator()(const CaptureOptions& options) const { return capture(options); }
    int operator()(const ReplayOptions& options) const { return replay(options); }
    int operator()(const ReportOptions& options) const { return report(options); }
    int operator()(const ExplainOptions& options) const { return explain(options); }
    int operator()(const ReadyOptions& options) const { return ready(options); }
    int operator()(const RehearseOptions& options) const { return rehearse(options); }
    int operator()(const TokenOptions& options) const { return token(options); }
};

int run(int argc, const char* const* argv) {
    const auto options = parse_options(argc, argv);
    if (!options)
        return options.error();
    // Standard output is for answers; what the daemon says of itself goes beside them.
    log::begin(log::Form::text);
    return std::visit(Run{}, *options);
}

/// Secrets that are in use stand in memory, and a core is memory in a file. Where the system hands
/// cores to a program the limit is not heeded (core(5)), but for 1, at which Linux makes none at
/// all.
void keep_no_core() {
    constexpr rlimit none{1, 1};
    ::setrlimit(RLIMIT_CORE, &none);
}

} // namespace

} // namespace slotwitness::program

int main(int argc, char** argv) {
    slotwitness::program::keep_no_core();
    try {
        return slotwitness::program::run(argc, argv);
    } catch (const std::exception& error) {
        std::fprintf(stderr, "slotwitness: a defect of its own: %s\n", error.what());
        return slotwitness::program::exit_defect;
    }
}
