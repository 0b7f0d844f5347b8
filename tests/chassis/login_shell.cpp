#include "login_shell.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::chassis {
namespace {

constexpr std::size_t rows_of_a_page = 12;
constexpr std::string_view hold = " -- more -- ";
constexpr std::string_view new_line = "\r\n";
constexpr char clear_line = '\x15'; // ctrl-u
constexpr char redraw = '\x0c';     // ctrl-l
constexpr char delete_one = '\x7f';

std::string on_terminal(std::string_view text) {
    std::string shown;
    for (const char byte : text)
        shown.append(byte == '\n' ? "\r" : "").append(1, byte);
    return shown;
}

} // namespace

LoginShell::LoginShell(std::string name) : prompt_(name + "> ") {
    shown_ = on_terminal("Quillon " + name + ". For those who may work here.\n\n");
    show_prompt();
}

void LoginShell::type(std::string_view bytes) {
    for (const char byte : bytes)
        take(byte);
}

void LoginShell::take(char byte) {
    switch (state_) {
    case State::prompt:
        return take_at_prompt(byte);
    case State::running:
        ahead_ += byte;
        return;
    case State::holding:
        return take_while_holding(byte);
    case State::left:
        return;
    }
}

void LoginShell::take_at_prompt(char byte) {
    if (byte == '\r' || byte == '\n') {
        shown_ += new_line;
        return run_line();
    }
    if (byte == redraw) {
        shown_ += new_line;
        return show_prompt();
    }
    if (byte == '\b' || byte == delete_one || byte == clear_line) {
        const std::size_t gone =
            byte == clear_line ? line_.size() : std::min<std::size_t>(1, line_.size());
        for (std::size_t i = 0; i < gone; ++i)
            shown_ += "\b \b";
        line_.resize(line_.size() - gone);
        return;
    }
    if (byte >= ' ') {
        line_ += byte;
        shown_ += byte;
    }
}

void LoginShell::run_line() {
    std::string line = std::exchange(line_, {});
    if (line == "page off" || line == "page on")
        pages_ = line == "page on";
    if (line == "leave") {
        state_ = State::left;
    } else if (line.empty() || line.starts_with("page o")) {
        show_prompt();
    } else {
        entered_ = std::move(line);
        state_ = State::running;
    }
}

std::optional<std::string> LoginShell::entered() {
    return std::exchange(entered_, std::nullopt);
}

void LoginShell::answer(std::string_view text) {
    rows_.clear();
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size() - 1);
        rows_.emplace_back(on_terminal(text.substr(0, end + 1)));
        text.remove_prefix(end + 1);
    }
    std::reverse(rows_.begin(), rows_.end());
    show_rows(pages_ ? rows_of_a_page : rows_.size());
}

void LoginShell::broken_answer(std::string_view text) {
    shown_ += on_terminal(text);
    state_ = State::left;
}

void LoginShell::show_rows(std::size_t most) {
    for (; most > 0 && !rows_.empty(); --most) {
        shown_ += rows_.back();
        rows_.pop_back();
    }
    if (!rows_.empty()) {
        state_ = State::holding;
        return show_hold();
    }
    state_ = State::prompt;
    show_prompt();
    type(std::exchange(ahead_, {}));
}

void LoginShell::take_while_holding(char byte) {
    if (byte == redraw) {
        shown_ += '\r';
        return show_hold();
    }
    if (byte != ' ' && byte != '\r' && byte != 'q')
        return;
    shown_ += "\r" + std::string(hold.size(), ' ') + "\r";
    if (byte == 'q')
        rows_.clear();
    show_rows(byte == '\r' ? 1 : rows_of_a_page);
}

void LoginShell::remark(std::string_view text) {
    const bool is_in_a_line = state_ != State::running;
    shown_ +=
        (is_in_a_line ? std::string(new_line) : "") + on_terminal(text) + std::string(new_line);
    if (state_ == State::prompt)
        show_prompt();
    if (state_ == State::holding)
        show_hold();
}

void LoginShell::show_prompt() {
    shown_ += prompt_ + line_;
}

void LoginShell::show_hold() {
    shown_ += hold;
}

std::string LoginShell::take_shown() {
    return std::exchange(shown_, {});
}

} // namespace slotwitness::chassis
