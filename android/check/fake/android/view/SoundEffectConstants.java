package android.view;

public class SoundEffectConstants {
    public static final int CLICK = 0;
}
