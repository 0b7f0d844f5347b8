#pragma once

#include "finding.hpp"
#include "truth.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// A truth explains itself: it carries a smallest set of facts that alone decide it.
namespace slotwitness::witness {

/// A value of Kleene's logic with what it rests on: of several ways to decide it, the one with the
/// fewest facts. What is unknown says why, by the first part that is.
struct Judgement {
    Truth truth = Truth::unknown;
    Because because;
};

[[nodiscard]] Judgement unknown(Because because);
[[nodiscard]] Judgement unknown(Reason reason, std::string text, std::vector<Cite> cites = {});

[[nodiscard]] Judgement negate(Judgement judgement);

/// An `and` (false decides it) or an `or` (true does), part by part. Decided, it rests on the one
/// part that decides it with the fewest facts; else, if nothing is unknown, on all of them.
class Fold {
  public:
    explicit Fold(Truth deciding) : deciding_(deciding) {}
    void add(Judgement part);
    /// A part whose truth is unknown, of which nothing else is known.
    void doubt(Because because);
    [[nodiscard]] Judgement result() &&;

  private:
    Truth deciding_;
    std::optional<Judgement> decided_;
    std::optional<Because> doubt_;
    Because all_;
};

/// Both, where the truth of each alone may decide.
[[nodiscard]] Judgement both(Judgement left, Judgement right);

/// The `count` of them that rest on the fewest facts; all if there are fewer. Among equals first
/// those that rest on a list as a whole, since they share it.
[[nodiscard]] std::vector<Judgement> smallest(std::vector<Judgement> judgements, std::size_t count);

/// Adds what each rests on.
void add_cites(std::vector<Cite>& cites, const std::vector<Judgement>& judgements);

} // namespace slotwitness::witness
