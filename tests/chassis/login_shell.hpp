#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::chassis {

/// A login shell of the chassis on a terminal: banner, prompt, echo, a line that can be edited, a
/// pager, remarks thrown in. What is typed goes in, what the terminal shows comes out. No input and
/// output, no time.
///
/// Return runs a line; ctrl-l shows prompt and line anew, ctrl-u takes the line away, backspace a
/// character. At the pager's prompt: blank the next page, return the next line, q the prompt,
/// ctrl-l the pager's prompt anew. "page off" and "page on" act for this shell, "leave" ends it.
class LoginShell {
  public:
    /// Its banner and its first prompt are to be shown.
    explicit LoginShell(std::string name);

    void type(std::string_view bytes);
    /// A line that is to be run; until its answer has come, what is typed waits.
    [[nodiscard]] std::optional<std::string> entered();
    void answer(std::string_view text);
    /// Of an answer that breaks off: nothing comes behind it.
    void broken_answer(std::string_view text);
    /// What the chassis says unasked.
    void remark(std::string_view text);

    /// What the terminal is to show now.
    [[nodiscard]] std::string take_shown();
    [[nodiscard]] bool has_left() const { return state_ == State::left; }

  private:
    enum class State { prompt, running, holding, left };

    void take(char byte);
    void take_at_prompt(char byte);
    void take_while_holding(char byte);
    void run_line();
    void show_rows(std::size_t most);
    void show_prompt();
    void show_hold();

    State state_ = State::prompt;
    std::string prompt_;
    std::string line_;
    std::optional<std::string> entered_;
    std::string ahead_; ///< typed while a line runs
    std::string shown_;
    std::vector<std::string> rows_; ///< of the answer, not yet shown, the first one last
    bool pages_ = true;
};

} // namespace slotwitness::chassis
