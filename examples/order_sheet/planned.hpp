// SPDX-License-Identifier: BSL-1.0
// A plan together with its question and the storage it stands in.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "plan_room.hpp"
#include "tapewright/plan/planner.hpp"

namespace order_sheet {

/// Owns the arrays that a plan is written into and keeps the three together that every list needs.
class planned {
 public:
  planned(const tapewright::job& question, const tapewright::catalogue& parts);
  planned(const planned&) = delete;  // the plan views this object's own arrays
  planned& operator=(const planned&) = delete;

  /// Why there is no plan; no fault where there is one.
  const tapewright::fault& why() const noexcept { return why_; }

  const tapewright::plan& plan() const noexcept { return plan_; }
  const tapewright::job& job() const noexcept { return job_; }
  const tapewright::catalogue& parts() const noexcept { return parts_; }

  /// A run's feed points: its own, then the further ones; k from 0 to more_feeds.
  const tapewright::tape_feed& feed_of(const tapewright::run_plan& r, std::int32_t k) const {
    return k == 0 ? r : plan_.feeds[place(r.feeds_from + k - 1)];
  }
  const tapewright::run& asked(const tapewright::run_plan& r) const { return job_.runs[place(r.run)]; }
  const tapewright::tape& tape_of(const tapewright::run_plan& r) const {
    return parts_.tapes[place(asked(r).tape)];
  }
  const tapewright::zone& zone_of(const tapewright::hub_plan& h) const { return job_.zones[place(h.zone)]; }

  // Designations, the same in every list and on the drawing (plan/names.hpp).
  std::string hub_name(std::int32_t hub) const;
  std::string driver_name(std::int32_t driver) const;
  std::string output_name(std::int32_t output) const;
  std::string fuse_name(std::int32_t output) const;
  std::string cable_name(std::int32_t number) const;
  std::string run_name(std::int32_t run) const;
  std::string piece_name(std::int32_t stretch) const;  ///< by its place in plan.stretches: A/2
  std::string feed_name(std::int32_t run, std::int32_t feed) const;
  std::string terminal_name(const tapewright::terminal& t) const;
  std::string subject_name(tapewright::subject about) const;

  /// Room of the same size for another plan of the job.
  plan_room another_room() const;

  static std::size_t place(std::int32_t index) { return static_cast<std::size_t>(index); }

 private:
  tapewright::job job_;
  tapewright::catalogue parts_;
  std::optional<plan_room> room_;
  tapewright::plan plan_;
  tapewright::fault why_;
};

}  // namespace order_sheet
