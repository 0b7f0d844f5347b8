#include "help.hpp"

#include <slotwitness/marked/wrapped.hpp>

#include <CLI/CLI.hpp>

namespace slotwitness::program {

namespace {

class Help final : public CLI::Formatter {
  public:
    Help() { label("SUBCOMMAND", "VERB"); }

    std::string make_option(const CLI::Option* option, bool is_positional) const override {
        return entry(make_option_name(option, is_positional) + make_option_opts(option),
                     make_option_desc(option));
    }
    std::string make_subcommand(const CLI::App* verb) const override {
        return entry(verb->get_name(), verb->get_description());
    }
    std::string make_description(const CLI::App* app) const override {
        return marked::wrapped("", app->get_description());
    }

  private:
    /// A name with what it means; a name that is too long has a line of its own.
    std::string entry(const std::string& name, const std::string& what) const {
        std::string first = "  " + name;
        std::string before;
        if (first.size() + 1 > column_width_) {
            before = first + '\n';
            first.clear();
        }
        first.resize(column_width_, ' ');
        return before + marked::wrapped(first, what);
    }
};

} // namespace

std::shared_ptr<CLI::FormatterBase> help_layout() {
    return std::make_shared<Help>();
}

} // namespace slotwitness::program
