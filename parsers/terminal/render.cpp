#include "render.hpp"

#include "effect.hpp"
#include "token.hpp"

#include <utility>

namespace slotwitness::terminal {
namespace {

class Renderer {
  public:
    Renderer(std::string_view line, std::size_t number, const TerminalSpec& spec, Mode& mode)
        : line_(line), number_(number), mode_(mode), screen_(line, spec.pagers) {
        if (spec.tab_width && *spec.tab_width >= 1 && *spec.tab_width <= widest_tab)
            tab_width_ = spec.tab_width;
    }

    Shown read() && {
        while (at_ < line_.size()) {
            const Token token = read_token(line_.substr(at_));
            read(token);
            at_ += token.bytes.size();
        }
        return std::move(screen_).finish();
    }

  private:
    void read(const Token& token) {
        switch (token.form) {
        case Form::character:
            if (mode_.other_set || mode_.shifted_out)
                screen_.doubt(at_, "text in ASCII or UTF-8, not in another character set");
            screen_.write(at_, token.bytes.size());
            return;
        case Form::fill:
            if (!is_beside_return(token))
                screen_.doubt(at_, "text without NUL, which may stand for what was lost");
            screen_.pass(at_, token.bytes.size(), Why::fill);
            return;
        case Form::sequence:
        case Form::string:
        case Form::escape:
        case Form::unended_string:
        case Form::broken:
        case Form::control:
            break;
        }
        const Effect effect = effect_of(token);
        if (effect.kind != Effect::Kind::tab)
            screen_.pass(at_, token.bytes.size(), Why::control);
        execute(effect, token);
    }

    void execute(const Effect& effect, const Token& token) {
        switch (effect.kind) {
        case Effect::Kind::look:
            return;
        case Effect::Kind::back:
            screen_.back(effect.count);
            return;
        case Effect::Kind::home:
            screen_.home();
            return;
        case Effect::Kind::erase_to_end:
            screen_.erase_to_end();
            return;
        case Effect::Kind::erase_to_begin:
            screen_.erase_to_begin(at_);
            return;
        case Effect::Kind::erase_line:
            screen_.erase_line(at_);
            return;
        case Effect::Kind::tab:
            screen_.tab(at_, tab_width_);
            return;
        case Effect::Kind::plain_set:
            mode_.other_set = false;
            return;
        case Effect::Kind::other_set:
            mode_.other_set = true;
            return;
        case Effect::Kind::shift_in:
            mode_.shifted_out = false;
            return;
        case Effect::Kind::shift_out:
            mode_.shifted_out = true;
            return;
        case Effect::Kind::mode:
            if (mode_.lost_line == 0)
                mode_.lost_line = number_;
            break;
        case Effect::Kind::elsewhere:
            mode_.reaching_line = number_;
            break;
        case Effect::Kind::in_line:
            break;
        }
        screen_.doubt(at_, expected_instead_of(token));
    }

    /// There it gave a carriage its time to return.
    [[nodiscard]] bool is_beside_return(const Token& fill) const {
        const std::size_t end = at_ + fill.bytes.size();
        return (at_ > 0 && line_[at_ - 1] == '\r') || (end < line_.size() && line_[end] == '\r');
    }

    std::string_view line_;
    std::size_t number_;
    Mode& mode_;
    Screen screen_;
    std::optional<std::size_t> tab_width_;
    std::size_t at_ = 0;
};

} // namespace

Shown render(std::string_view line, std::size_t number, const TerminalSpec& spec, Mode& mode) {
    return Renderer{line, number, spec, mode}.read();
}

} // namespace slotwitness::terminal
