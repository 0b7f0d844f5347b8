#pragma once

#include "options.hpp"

#include <CLI/CLI.hpp>

#include <optional>
#include <string>

namespace slotwitness::program {

/// The one description of the command line, as the library has it.
class CommandLineApp {
  public:
    CommandLineApp();
    ~CommandLineApp() = default;
    CommandLineApp(const CommandLineApp&) = delete;
    CommandLineApp& operator=(const CommandLineApp&) = delete;

    [[nodiscard]] CLI::App& app() { return app_; }
    /// What was said, once `app` has parsed it.
    [[nodiscard]] const std::optional<Options>& parsed() const { return parsed_; }

  private:
    CLI::App* verb(const char* name, const char* what);
    CLI::App* token_verb(CLI::App* token, const char* name, const char* what,
                         TokenOptions::Act act);
    void serve();
    void look();
    void ask();
    void ready();
    void capture();
    void read();
    void explain();
    void replay();
    void report();
    void rehearse();
    void token();
    /// Each verb fills its own, and hands it over when it was said.
    template <class Chosen>
    void when_said(CLI::App* verb, Chosen& options) {
        verb->callback([this, &options] { parsed_ = options; });
    }

    CLI::App app_{"Watches a router and tells what the device reports. It never changes a device."};
    std::string log_ = "text";
    ServeOptions serve_;
    LookOptions look_;
    AskOptions ask_;
    ReadyOptions ready_;
    CaptureOptions capture_;
    ReadOptions read_;
    ExplainOptions explain_;
    ReplayOptions replay_;
    ReportOptions report_;
    RehearseOptions rehearse_;
    TokenOptions token_;
    std::optional<Options> parsed_;
};

} // namespace slotwitness::program
