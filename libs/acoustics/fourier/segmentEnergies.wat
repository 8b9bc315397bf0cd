;; Sums of squares of stretches of 32-bit floats, sixteen at a time.
;;
;; segmentEnergies(samples, bounds, count, sums): stretch i holds samples bounds[i] .. bounds[i + 1] - 1;
;; `samples` points to f32, `bounds` to count + 1 i32 that do not fall, `sums` to count f64.
(module
  (memory (export "memory") 1)
  (func (export "segmentEnergies")
    (param $samples i32) (param $bounds i32) (param $count i32) (param $sums i32)
    (local $at i32) (local $end i32) (local $last i32) (local $x v128) (local $sum f64) (local $one f64)
    (local $a v128) (local $b v128) (local $c v128) (local $d v128)
    (local.set $last (i32.add (local.get $sums) (i32.shl (local.get $count) (i32.const 3))))
    (block $done
      (loop $stretch
        (br_if $done (i32.ge_u (local.get $sums) (local.get $last)))
        (local.set $at
          (i32.add (local.get $samples) (i32.shl (i32.load (local.get $bounds)) (i32.const 2))))
        (local.set $end
          (i32.add (local.get $samples) (i32.shl (i32.load offset=4 (local.get $bounds)) (i32.const 2))))
        (local.set $a (v128.const f32x4 0 0 0 0))
        (local.set $b (v128.const f32x4 0 0 0 0))
        (local.set $c (v128.const f32x4 0 0 0 0))
        (local.set $d (v128.const f32x4 0 0 0 0))
        (block $few
          (loop $sixteen
            (br_if $few (i32.gt_u (i32.add (local.get $at) (i32.const 64)) (local.get $end)))
            (local.set $x (v128.load align=4 (local.get $at)))
            (local.set $a (f32x4.add (local.get $a) (f32x4.mul (local.get $x) (local.get $x))))
            (local.set $x (v128.load offset=16 align=4 (local.get $at)))
            (local.set $b (f32x4.add (local.get $b) (f32x4.mul (local.get $x) (local.get $x))))
            (local.set $x (v128.load offset=32 align=4 (local.get $at)))
            (local.set $c (f32x4.add (local.get $c) (f32x4.mul (local.get $x) (local.get $x))))
            (local.set $x (v128.load offset=48 align=4 (local.get $at)))
            (local.set $d (f32x4.add (local.get $d) (f32x4.mul (local.get $x) (local.get $x))))
            (local.set $at (i32.add (local.get $at) (i32.const 64)))
            (br $sixteen)))
        (local.set $a
          (f32x4.add
            (f32x4.add (local.get $a) (local.get $b))
            (f32x4.add (local.get $c) (local.get $d))))
        (local.set $sum
          (f64.add
            (f64.add
              (f64.promote_f32 (f32x4.extract_lane 0 (local.get $a)))
              (f64.promote_f32 (f32x4.extract_lane 1 (local.get $a))))
            (f64.add
              (f64.promote_f32 (f32x4.extract_lane 2 (local.get $a)))
              (f64.promote_f32 (f32x4.extract_lane 3 (local.get $a))))))
        (block $none
          (loop $single
            (br_if $none (i32.ge_u (local.get $at) (local.get $end)))
            (local.set $one (f64.promote_f32 (f32.load (local.get $at))))
            (local.set $sum (f64.add (local.get $sum) (f64.mul (local.get $one) (local.get $one))))
            (local.set $at (i32.add (local.get $at) (i32.const 4)))
            (br $single)))
        (f64.store (local.get $sums) (local.get $sum))
        (local.set $bounds (i32.add (local.get $bounds) (i32.const 4)))
        (local.set $sums (i32.add (local.get $sums) (i32.const 8)))
        (br $stretch)))))
