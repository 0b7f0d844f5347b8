#pragma once

#include <slotwitness/units/time.hpp>

#include <any>
#include <memory>
#include <type_traits>
#include <utility>

/// What is published, as those who show it get it. From the loop's thread alone.
namespace slotwitness::desk {

/// A view as it is shown. It never changes, so that what is made of it, its bytes for instance, is
/// made once and stays with it.
template <class View>
class Shown final : public View {
  public:
    explicit Shown(View view) : View(std::move(view)) {}

    /// What `make` makes of the view, made at the first asking. All who ask want the same type.
    template <class Make>
    [[nodiscard]] const std::invoke_result_t<Make, const View&>& once(Make make) const {
        using Made = std::invoke_result_t<Make, const View&>;
        if (!made_.has_value())
            made_ = make(*this);
        return *std::any_cast<Made>(&made_);
    }

    /// For who changes a view that nobody else has.
    void forget() { made_.reset(); }

  private:
    mutable std::any made_;
};

template <class View>
using SharedView = std::shared_ptr<const Shown<View>>;

/// A view as recorded, and what is left of it once its confidence has run out (`holds_at`,
/// `as_of`).
template <class View>
class Snapshot {
  public:
    explicit Snapshot(View view = {}) : recorded_(std::make_shared<Shown<View>>(std::move(view))) {}

    [[nodiscard]] const View& recorded() const { return *recorded_; }

    [[nodiscard]] SharedView<View> at(units::Instant now) const {
        if (holds_at(*recorded_, now))
            return recorded_;
        if (!faded_)
            faded_ = std::make_shared<Shown<View>>(as_of(*recorded_, now));
        return faded_;
    }

    /// Who was given the view keeps it as it was.
    template <class Edit>
    void change(Edit edit) {
        faded_.reset();
        if (recorded_.use_count() > 1)
            recorded_ = std::make_shared<Shown<View>>(View(*recorded_));
        else
            recorded_->forget();
        edit(static_cast<View&>(*recorded_));
    }

  private:
    std::shared_ptr<Shown<View>> recorded_;
    mutable SharedView<View> faded_;
};

} // namespace slotwitness::desk
